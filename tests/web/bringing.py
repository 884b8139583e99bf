"""Larch's files, and dropping them on the Readings page."""

from html.parser import HTMLParser

from django.core.files.uploadedfile import SimpleUploadedFile

LARCH = b"""MRN,Visit,Obs time,Temp,Units,Route,Ward,Asset,Nurse
PLANTED-1,V1,2026-03-07 10:00,36.6,C,Temporal,Larch,FS-07,00417
PLANTED-1,V1,2026-03-07 14:05,37.9,C,Temporal,Larch,FS-07,00417
PLANTED-2,V2,2026-03-07 10:10,LO,C,Oral,Larch,FS-08,00417
"""
AMBIGUOUS = b"""Patient,Obs time,Temp,Ward
P1,03/04/2026 10:00,36.6,Larch
P1,05/06/2026 11:00,36.7,Larch
"""


def text(answer):
    return " ".join(answer.content.decode().split())


def bring(browser, content=LARCH, name="larch.csv"):
    """Drop a file; the address where it is looked at."""
    answer = browser.post("/readings/bring/", {"files": SimpleUploadedFile(name, content)})
    assert answer.status_code == 302, text(answer)
    return answer["Location"]


class FormReader(HTMLParser):
    """What a browser would send back if she changed nothing."""

    def __init__(self):
        super().__init__()
        self.fields, self.select = {}, None

    def handle_starttag(self, tag, attributes):
        told = dict(attributes)
        if tag == "input" and told.get("name"):
            self.fields[told["name"]] = told.get("value", "")
        elif tag == "select":
            self.select = told["name"]
            self.fields[self.select] = ""
        elif tag == "option" and self.select and "selected" in told:
            self.fields[self.select] = told["value"]

    def handle_endtag(self, tag):
        if tag == "select":
            self.select = None


def as_shown(browser, address):
    """The form as the page shows it, ready to be sent back."""
    reader = FormReader()
    reader.feed(browser.get(address).content.decode())
    return reader.fields
