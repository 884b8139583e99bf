"""What becomes of lines that bear one name: said to be one person, said to be two, or not said yet."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from browline.intake.roster.same_names import Post
from browline.intake.roster.staff_heading import Entry
from browline.store.importing.roster.people import People

ONE, TWO = "one", "two"
ASIDE = "two-rows-one-name"


def set_apart(
    entries: Sequence[Entry], posts: Mapping[str, Sequence[Post]], answers: Mapping[str, str], people: People
) -> tuple[list[Entry], list[int]]:
    """The entries as they are to be read, and the rows set aside because nobody has said whose they are.

    Said to be two people, a later post is somebody of its own, under the name with its ward or role behind it.
    """
    renamed: dict[int, str] = {}
    aside: set[int] = set()
    for name, several in posts.items():
        if answers.get(name) == TWO:
            renamed |= _names(several, people)
        elif answers.get(name) != ONE:
            aside |= {place for post in _known_first(several, people)[1:] for place in post.places}
    entries_read = [
        replace(entry, identifier=renamed[place]) if place in renamed else entry
        for place, entry in enumerate(entries)
        if place not in aside
    ]
    entries_aside = [entries[place] for place in sorted(aside)]
    return entries_read, [entry.row for entry in entries_aside if entry.cell.strip() or entry.start]


def separate_before(several: Sequence[Post], people: People) -> bool:
    """Whether an earlier roster told these posts apart: all but the first are in the book under their names."""
    return sum(not (post.label and people.knows(_called(several, post.label))) for post in several) <= 1


def _names(several: Sequence[Post], people: People) -> dict[int, str]:
    """Place of an entry -> what its person is called. Where the list has several of the name, all are set apart."""
    known = people.with_name(several[0].name)
    listed = [person for person in known if person.listed]
    posts = _known_first(several, people)
    plain = listed[0].identifier if listed else _spelled(several)
    names = {} if len(listed) > 1 else dict.fromkeys(posts[0].places, plain)
    taken = {posts[0].label} if names else set()
    for number, post in enumerate(posts, 1):
        if number > 1 or not names:
            label = post.label if post.label not in taken else f"{post.label} {number}".strip()
            taken.add(post.label)
            names |= dict.fromkeys(post.places, _called(several, label or str(number)))
    return names


def _called(several: Sequence[Post], label: str) -> str:
    return f"{_spelled(several)} ({label})"


def _spelled(several: Sequence[Post]) -> str:
    """One spelling for all posts of a name, whichever stands first in the file."""
    return min(" ".join(post.name.split()) for post in several)


def _known_first(several: Sequence[Post], people: People) -> list[Post]:
    """The posts, first the one on the home ward of whom the name means, else as in the file.

    A post that was told apart by an earlier roster stays whose it was.
    """
    new = [post for post in several if not people.knows(_called(several, post.label))] or list(several)
    wards = {person.ward for person in people.with_name(several[0].name)} - {""}
    first = next((post for post in new if people.ward_named(post.ward) in wards), new[0])
    return [first, *(post for post in several if post is not first)]
