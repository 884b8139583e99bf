"""Property: phones, sheets, strikes and imported rows, in any order and any number of times, give one record.

Oracle: the record worked out by hand from the set of statements (somebody attended exactly when one way of
saying so was made and not struck).
"""

from datetime import UTC, datetime

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

TIME = datetime(2026, 3, 7, 21, 30, tzinfo=UTC)
PEOPLE = ("00417", "00938", "A11")
WAYS = ("phone", "paper", "file")
WHO_AND_HOW = st.tuples(st.sampled_from(PEOPLE), st.sampled_from(WAYS))
SAID = st.tuples(st.just("said"), WHO_AND_HOW)
STRUCK = st.tuples(st.just("struck"), WHO_AND_HOW)


@pytest.fixture
def evening(book):
    """Tonight's session on Maple, and three people of the list."""
    from browline.services.training.sessions import plan_session
    from browline.services.training.sessions.matching import put_on_list, unlisted

    for identifier in PEOPLE:
        put_on_list(unlisted(identifier).pk, ward="Maple", actor="educator")
    return plan_session(TIME, ward="Maple", actor="educator")


def forget_everything():
    from browline.store.models import Attendance, Event, Import, SignIn

    for kept in (SignIn, Attendance, Event, Import):
        kept.objects.all().delete()


def tell(book, session, path, deed, who, how):
    from browline.services.imports.run import import_file
    from browline.services.training.sessions.signing_in import key_in, sign_in
    from browline.services.training.sessions.striking import strike
    from browline.store.models import Person

    if deed == "struck":
        strike(session, Person.objects.get(identifier=who).pk, how, "not there", actor="educator")
    elif how == "file":
        path.write_text(f"person,time,ward,outcome\n{who},2026-03-07 21:30,Oak,attended\n")
        import_file(book, path, kind="sessions", zone="UTC")
    elif how == "paper":
        key_in(session, [who, who], actor="educator")
    else:
        sign_in(session, f" {who.lstrip('0')} ", "phone", actor="phone")


def record():
    from browline.store.models import Attendance, SignIn

    said = SignIn.objects.values_list("person__identifier", "how", "struck")
    came = Attendance.objects.values_list("person__identifier", "time", "ward", "outcome")
    return {(who, how, bool(struck)) for who, how, struck in said}, sorted(came)


def by_hand(statements):
    struck = {whom for deed, whom in statements if deed == "struck"}
    stands = {whom for deed, whom in statements if deed == "said"} - struck
    told = {(*whom, whom in struck) for _, whom in statements}
    return told, sorted((who, TIME, "Maple", "attended") for who in {who for who, _ in stands})


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(statements=st.lists(st.one_of(SAID, SAID, STRUCK), max_size=8))
def test_any_order_of_phones_sheets_files_and_strikes_gives_the_same_record(
    book, evening, tmp_path, statements
):
    forget_everything()
    for deed, whom in statements:
        tell(book, evening, tmp_path / "sessions.csv", deed, *whom)
    assert record() == by_hand(statements)


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(order=st.permutations(["phone", "paper", "phone", "match"]), early=st.booleans())
def test_somebody_matched_to_the_list_is_one_person_whatever_comes_after(
    book, evening, tmp_path, order, early
):
    from browline.services.training.sessions.matching import match
    from browline.store.models import Person

    forget_everything()
    Person.objects.filter(listed=False).delete()
    listed = Person.objects.get(identifier="00417")
    path = tmp_path / "sessions.csv"
    for what in [*(["file"] if early else []), *order, "match", "file"]:
        seen = Person.objects.filter(identifier="T.Brack").first()
        if what != "match":
            tell(book, evening, path, "said", "T.Brack", what)
        elif seen is not None:
            match(seen.pk, listed.pk, actor="educator")
    ways, came = record()
    assert ways == {("00417", how, False) for how in WAYS}
    assert came == [("00417", TIME, "Maple", "attended")]
