"""How to choose, and how to add: every page, command and file that they name is there, and no page is missing."""

import re
from pathlib import Path

import pytest
from django.urls import reverse

import added_finding_kind as finding
import added_import_and_site as both
import added_places as places
from browline.cli.main import app
from browline.web.frame import PAGES

ROOT = Path(__file__).parents[2]
CHOOSE = (ROOT / "docs" / "how-to-choose.md").read_text(encoding="utf-8")
ADDING = (ROOT / "docs" / "adding.md").read_text(encoding="utf-8")
ADDRESSES = sorted(set(re.findall(r"`(/[^`]*)`", CHOOSE)))
COMMANDS_THERE = {name for name in app if not name.startswith("-")}
COMMANDS = re.findall(r"`browline ([^`]+)`", CHOOSE)
FILES = re.findall(r"`((?:src|tests|tools|docs)/[^`]+)`", ADDING)


def named_pages():
    """(title, address) of each page that is called by its own title."""
    return re.findall(r"\| ([A-Z][^|`]*?), `(/[^`]*)`", CHOOSE)


@pytest.mark.parametrize("address", ADDRESSES)
def test_every_address_opens(ines, address):
    assert ines.get(address).status_code == 200


@pytest.mark.parametrize(("title", "address"), named_pages())
def test_every_page_is_called_by_its_title(ines, title, address):
    heading = re.search(r"<h1>(.*?)</h1>", ines.get(address).content.decode())[1]
    assert heading.replace("’", "'").startswith(title.replace("’", "'"))


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_and_its_options_are_known(command):
    name, *more = command.split()
    assert name in COMMANDS_THERE
    arguments = list(app[name].assemble_argument_collection(parse_docstring=True))
    options = {option for argument in arguments for option in argument.names}
    hand_outs = set(re.findall(r"[a-z-]+", arguments[0].parameter.help)) if name == "hand-out" else set()
    assert set(more) <= options | hand_outs


def test_no_command_and_no_page_of_a_menu_is_missing():
    """Whose own record it is depends on the pass, so that page is not among the educator's questions."""
    assert {command.split()[0] for command in COMMANDS} == COMMANDS_THERE
    pages = {name for role in PAGES.values() for name in role.values()} - {"my-record"}
    assert {name for name in pages if reverse(name) not in ADDRESSES} == set()


@pytest.mark.parametrize("file", sorted(set(FILES)))
def test_every_file_that_the_page_on_adding_names_is_there(file):
    assert (ROOT / file).exists()


def test_adding_names_what_the_tests_of_adding_change():
    changed = [finding.CATALOGUE, both.SITE_FILE, places.RULE_FILE]
    for elsewhere in (finding.ELSEWHERE, both.KIND_ELSEWHERE, both.SITE_ELSEWHERE, places.ROOM_ELSEWHERE):
        changed += [name for name, *_ in elsewhere]
    assert {name for name in changed if name not in FILES} == set()
