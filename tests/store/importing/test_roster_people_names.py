"""The list of people may hold names of staff; no other file's names are ever taken."""

from browline.services.imports.run import import_file
from browline.store.models import Person

LIST = "Staff no,Name,Role,Ward\n00417,Hana Alderley,RN,Maple\n00938,Bram Copeden,RN,Oak\n"


def test_names_of_the_list_of_people_are_kept_and_shown(book, export):
    entry = import_file(book, export(LIST)).files[0]
    assert (entry["kind"], entry["taken"], entry["mapping"]["name"]) == ("people", 2, "Name")
    assert [p.shown for p in Person.objects.all()] == ["Hana Alderley", "Bram Copeden"]


def test_the_same_list_again_is_already_here_and_a_list_without_names_leaves_them(book, export):
    import_file(book, export(LIST))
    assert import_file(book, export(LIST)).files[0]["already_here"] == 2
    import_file(book, export("Staff no,Role,Ward\n00417,Charge nurse,Maple\n", "later.csv"))
    hana = Person.objects.get(identifier="00417")
    assert (hana.name, hana.role) == ("Hana Alderley", "Charge nurse")


def test_names_beside_readings_are_not_taken(book, export):
    entry = import_file(
        book,
        export("MRN,Name,Obs time,Temp,Nurse name\n1,Ada Ivelmere,2026-03-07 10:00,36.6,Hana Alderley\n"),
    ).files[0]
    assert entry["kind"] == "readings" and "name" not in entry["mapping"]
    assert "Ada Ivelmere" not in str(entry)
    assert not Person.objects.exclude(name="").exists()
