"""A demonstration observed on a phone of 360 by 740 px, by touch, with and without a network."""

import json
from datetime import timedelta

import pytest
from browsing import Tab, browser, served
from django.utils import timezone

import invented_demonstrations as cast
from browline.competency.checklist import STEPS
from browline.competency.judging import SENTENCES, judge
from browline.store.models import AssessorStanding, Demonstration, Person
from invented_demonstrations import CURVED, WHOLE, who

pytestmark = pytest.mark.browser

# A finger in a glove: 44 px is the target size of WCAG 2.1, criterion 2.5.5 (from memory).
SMALLEST_TARGET = 44


@pytest.fixture(scope="module")
def opened():
    # The driver runs an event loop in this thread, where Django would refuse to read the book.
    with pytest.MonkeyPatch.context() as patch, browser() as one:
        patch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")
        yield one


@pytest.fixture
def port(book):
    cast.a_ward()
    AssessorStanding.objects.update(start=timezone.localdate() - timedelta(days=30), end=None)
    with served() as number:
        yield number


@pytest.fixture
def phone(opened, port):
    """Omar's phone, let in by his pass."""
    one = Tab(opened, port, viewport={"width": 360, "height": 740}, has_touch=True)
    come_in(one, "omar")
    one.go("/observe/")
    yield one
    one.close()


def come_in(phone, identifier):
    from browline.services.book import access_links

    person = Person.objects.get(identifier=identifier)
    token = access_links.issue(
        "assessor", person=person, until=timezone.now() + timedelta(hours=1), actor="Ines"
    )
    phone.go(f"/in/pass/{token}/")


def mark(phone, steps):
    for step, word in steps.items():
        phone.page.locator(f"label:has([name=step-{step}][value={word}])").tap()


def observe(phone, name, steps=WHOLE):
    """The whole of it, in taps."""
    phone.page.get_by_role("button", name=name).tap()
    phone.page.locator("label:has([name=method][value=patient])").tap()
    mark(phone, steps)
    phone.page.get_by_role("button", name="Save this demonstration").tap()


def waits(phone, number):
    """Wait until so many records wait on the phone: sooner than the outbox would try again by its clock."""
    place = phone.page.locator(f"[data-outbox-status][data-outbox-waiting='{number}']")
    place.wait_for(state="attached", timeout=10_000)


def status(phone):
    return phone.page.locator("[data-outbox-status]").inner_text()


def here():
    return sorted((d.person.identifier, d.outcome) for d in Demonstration.objects.all())


def test_a_whole_demonstration_is_seventeen_taps_and_no_typing(phone):
    taps = []
    phone.page.expose_function("tapped", lambda: taps.append(1))
    phone.page.evaluate("document.addEventListener('touchend', () => tapped())")
    observe(phone, "Ana Reyes")
    waits(phone, 0)
    assert here() == [("ana", "signed-off")]
    assert "Ana Reyes: Signed off. To be seen again by" in status(phone)
    assert len(taps) == len(STEPS) + 3
    assert phone.complaints == []


def test_the_page_says_while_it_is_marked_what_the_book_says_after(phone):
    """The rule is written twice, for the phone and for the book: the same marks give the same sentence.

    But a sign-off is the book's to say, which alone knows every record that the rules are asked of.
    """
    several = [
        {},
        CURVED,
        {**WHOLE, "behind-ear": "not-seen", "reads": "missed"},
        {**WHOLE, "start": "missed"},
        dict.fromkeys(WHOLE, "missed"),
        dict.fromkeys(WHOLE, "not-seen"),
        {"reads": "missed"},
    ]
    for marks in several:
        phone.page.get_by_role("button", name="Start anew").tap()
        phone.page.wait_for_function("document.querySelectorAll('[data-step] :checked').length === 0")
        mark(phone, marks)
        said = phone.page.locator("#result").inner_text()
        whole = judge(STEPS, marks).sentence.replace("Signed off.", SENTENCES["whole"])
        assert said == (whole if marks else "Nothing marked yet.")


def live(phone):
    """All that the page says of what is being marked or was just saved."""
    return " ".join(phone.page.locator(place).inner_text() for place in ("#result", "#so-far", "#saved"))


def test_without_the_book_nobody_is_signed_off_on_the_screen(phone):
    phone.context.set_offline(True)
    phone.page.get_by_role("button", name="Ana Reyes").tap()
    phone.page.locator("label:has([name=method][value=patient])").tap()
    mark(phone, WHOLE)
    assert "Marked whole; it counts when the book has taken it." in live(phone)
    phone.page.get_by_role("button", name="Save this demonstration").tap()
    phone.page.locator("#saved").wait_for()
    phone.page.fill("#search", "Ana")
    assert "Marked whole" in live(phone)
    phone.page.get_by_role("button", name="Ana Reyes").tap()
    assert "Recorded on this phone already: Marked whole" in phone.page.locator("#chosen-note").inner_text()
    assert "signed off" not in phone.page.locator("#observe").inner_text().lower()
    phone.context.set_offline(False)
    waits(phone, 0)
    assert "Ana Reyes: Signed off." in status(phone), "the book has answered"


def test_a_second_try_of_the_day_is_said_to_wait_before_the_book_says_so(phone):
    phone.context.set_offline(True)
    observe(phone, "Ana Reyes", CURVED)
    phone.page.get_by_role("button", name="Ana Reyes").tap()
    assert "Practise together today." in phone.page.locator("#chosen-note").inner_text()
    mark(phone, WHOLE)
    tomorrow = timezone.localdate() + timedelta(days=1)
    assert f"It will wait for the educator: the next try is from {tomorrow:%d %b %Y} on." in live(phone)
    phone.page.locator("label:has([name=method][value=patient])").tap()
    phone.page.get_by_role("button", name="Save this demonstration").tap()
    phone.context.set_offline(False)
    waits(phone, 0)
    assert here() == [("ana", "not-yet")]


def test_nobody_signs_themselves_off_on_the_phone(phone):
    phone.page.get_by_role("button", name="Omar Lind").tap()
    mark(phone, WHOLE)
    assert "Nobody signs themselves off: ask another assessor." in live(phone)
    phone.page.locator("label:has([name=method][value=patient])").tap()
    phone.page.get_by_role("button", name="Save this demonstration").tap()
    assert phone.page.locator("#amiss").inner_text().startswith("Nobody signs themselves off.")
    assert phone.page.evaluate("outbox.records().length") == 0


def test_a_miss_opens_what_to_say_and_takes_what_was_taught(phone):
    place = phone.page.locator("[data-step=path]")
    assert not place.get_by_text("Once more, slowly").is_visible()
    mark(phone, {"path": "missed"})
    assert place.get_by_text("Once more, slowly").is_visible()
    place.get_by_text("Shown again just now").locator("..").tap()
    phone.page.get_by_label("Anything else taught").fill("lens swab")
    observe(phone, "Ana Reyes", {step: word for step, word in CURVED.items() if step != "path"})
    waits(phone, 0)
    assert Demonstration.objects.get().taught == "straight path, in touch. lens swab"


def test_two_recorded_without_a_network_merge_once_each_when_it_is_back(phone):
    phone.context.set_offline(True)
    observe(phone, "Ana Reyes")
    observe(phone, "Ben Okafor", CURVED)
    waits(phone, 2)
    assert "2 records wait on this phone" in status(phone) and "no network just now" in status(phone)
    assert here() == []
    phone.context.set_offline(False)
    waits(phone, 0)
    assert here() == [("ana", "signed-off"), ("ben", "not-yet")]
    assert "Ben Okafor: Not yet" in status(phone)


def test_what_waits_outlives_the_page(phone, opened, port):
    phone.context.set_offline(True)
    observe(phone, "Ana Reyes")
    waits(phone, 1)
    phone.page.close()
    phone.context.set_offline(False)
    phone.page = phone.context.new_page()
    phone.go("/observe/")
    waits(phone, 0)
    assert here() == [("ana", "signed-off")]


def test_an_answer_that_is_lost_brings_the_record_again_and_keeps_it_once(phone):
    """The network breaks between the book's keeping it and the phone's hearing so."""

    def lose_the_answer(route):
        route.fetch()
        route.abort()

    phone.page.route("**/observe/record/", lose_the_answer, times=1)
    observe(phone, "Ana Reyes")
    phone.page.get_by_text("no network just now").wait_for()
    assert here() == [("ana", "signed-off")]
    phone.page.evaluate("outbox.send()")
    waits(phone, 0)
    assert here() == [("ana", "signed-off")] and "already here" in status(phone)


@pytest.mark.parametrize("status_code", [500, 413, 200])
def test_a_fault_of_the_book_loses_nothing(phone, status_code):
    """The computer answers with an error page: the record stays and goes with the next try."""
    phone.page.route(
        "**/observe/record/", lambda route: route.fulfill(status=status_code, body="<h1>Oh</h1>"), times=1
    )
    observe(phone, "Ana Reyes")
    phone.page.get_by_text(f"could not take it ({status_code})").wait_for()
    phone.page.get_by_role("button", name="Send it again").tap()
    waits(phone, 0)
    assert here() == [("ana", "signed-off")]


def test_one_record_that_the_book_cannot_take_does_not_hold_up_the_others(phone):
    """A fault is met by the same record every time: the later ones go past it, and it can be thrown away."""

    def fault_for_ana(route):
        ana = json.loads(route.request.post_data)["person"] == str(who("ana"))
        route.fulfill(status=500, body="<h1>Oh</h1>") if ana else route.continue_()

    phone.page.route("**/observe/record/", fault_for_ana)
    phone.context.set_offline(True)
    observe(phone, "Ana Reyes")
    observe(phone, "Ben Okafor")
    waits(phone, 2)
    phone.context.set_offline(False)
    waits(phone, 1)
    assert here() == [("ben", "signed-off")]
    assert "Ana Reyes: The computer with the book could not take it (500)" in status(phone)
    phone.page.get_by_role("button", name="Throw it away").tap()
    phone.page.get_by_role("button", name="Press again").tap()
    waits(phone, 0)


def test_an_entry_that_cannot_be_read_hides_no_other(phone):
    phone.context.set_offline(True)
    observe(phone, "Ana Reyes")
    waits(phone, 1)
    for broken in ("{", "null", "7", "{}"):
        phone.page.evaluate("(text) => localStorage.setItem('browline-outbox:broken', text)", broken)
        assert phone.page.evaluate("outbox.records().map((one) => one.label)") == ["Ana Reyes"]
    phone.context.set_offline(False)
    waits(phone, 0)
    assert here() == [("ana", "signed-off")]


def test_two_windows_on_one_phone_send_each_record_once(phone):
    phone.context.set_offline(True)
    observe(phone, "Ana Reyes")
    phone.context.set_offline(False)
    other = phone.context.new_page()
    other.goto(phone.origin + "/observe/")
    other.evaluate("outbox.send()")
    phone.page.evaluate("outbox.send()")
    phone.page.wait_for_function("outbox.records().length === 0")
    assert here() == [("ana", "signed-off")]


def test_an_ended_pass_keeps_the_records_and_says_so_until_it_is_opened_again(phone):
    from browline.services.book import access_links
    from browline.store.models import Pass

    access_links.revoke(Pass.objects.get().pk, "Ines")
    observe(phone, "Ana Reyes")
    phone.page.get_by_text("This page has to be opened again").wait_for()
    assert here() == [] and phone.page.evaluate("outbox.records().length") == 1
    come_in(phone, "omar")
    phone.go("/observe/")
    waits(phone, 0)
    assert here() == [("ana", "signed-off")]


def test_what_one_assessor_put_away_is_never_sent_under_anothers_pass(phone):
    phone.context.set_offline(True)
    observe(phone, "Ana Reyes")
    phone.page.route("**/observe/record/", lambda route: route.abort())
    phone.context.set_offline(False)
    come_in(phone, "priya")
    phone.page.unroute("**/observe/record/")
    phone.go("/observe/")
    phone.page.get_by_text("for whoever made it to come back").wait_for()
    phone.page.evaluate("outbox.send()")
    assert here() == [] and phone.page.evaluate("outbox.records().length") == 1
    come_in(phone, "omar")
    phone.go("/observe/")
    waits(phone, 0)
    assert Demonstration.objects.get().actor == "assessor omar"


def test_what_the_book_cannot_keep_leaves_the_phone_and_waits_for_the_educator(phone):
    from browline.services.training.demonstrations.pending import waiting

    AssessorStanding.objects.filter(person=who("omar")).update(end=timezone.localdate() - timedelta(days=1))
    observe(phone, "Ana Reyes")
    waits(phone, 0)
    assert "It waits for the educator, nothing is lost." in status(phone)
    assert len(waiting()) == 1 and here() == []


def test_what_was_recorded_while_entitled_is_sent_from_the_page_that_shows_no_names(phone):
    phone.context.set_offline(True)
    observe(phone, "Ana Reyes")
    waits(phone, 1)
    yesterday = timezone.localdate() - timedelta(days=1)
    AssessorStanding.objects.filter(person=who("omar")).update(end=yesterday)
    phone.page.route("**/observe/record/", lambda route: route.abort())
    phone.context.set_offline(False)
    phone.go("/observe/")
    assert "You are not entered as an assessor for today, Omar Lind." in phone.page.inner_text("main")
    assert "Ana Reyes" in status(phone) and "Ben Okafor" not in phone.page.content()
    assert phone.overflow() <= 0 and phone.violations() == []
    phone.page.unroute("**/observe/record/")
    phone.page.evaluate("outbox.send()")
    waits(phone, 0)
    assert "It waits for the educator, nothing is lost." in status(phone)


def test_a_record_that_was_refused_stays_until_it_is_thrown_away_by_hand(phone):
    refusal = {"kept": False, "waiting": False, "sentence": "Not this one."}
    phone.page.route(
        "**/observe/record/", lambda route: route.fulfill(json=refusal, content_type="application/json")
    )
    observe(phone, "Ana Reyes")
    phone.page.get_by_text("Not this one.").wait_for()
    phone.page.get_by_role("button", name="Throw it away").tap()
    assert phone.page.evaluate("outbox.records().length") == 1, "once is not enough"
    phone.page.get_by_role("button", name="Press again").tap()
    assert phone.page.evaluate("outbox.records().length") == 0


def test_an_unfinished_demonstration_outlives_a_reload(phone):
    phone.page.get_by_role("button", name="Ben Okafor").tap()
    mark(phone, {"lens": "done", "path": "missed"})
    phone.page.reload()
    assert phone.page.locator("#chosen-name").inner_text() == "Ben Okafor"
    assert phone.page.locator("[data-step] :checked").count() == 2
    phone.page.get_by_role("button", name="Start anew").tap()
    phone.page.reload()
    assert phone.page.locator("#chosen-name").is_hidden()


def test_the_time_typed_is_the_phones_own(phone):
    at = (timezone.now() - timedelta(hours=3)).replace(second=0, microsecond=0)
    offset = phone.page.evaluate("new Date().getTimezoneOffset()")
    phone.page.get_by_text("Ward, instrument, another time").tap()
    phone.page.fill("[name=at_local]", (at - timedelta(minutes=offset)).strftime("%Y-%m-%dT%H:%M"))
    observe(phone, "Ana Reyes")
    waits(phone, 0)
    assert Demonstration.objects.get().time == at


@pytest.mark.parametrize(
    ("without", "said"),
    [
        ("person", "Choose who is observed."),
        ("method", "Say whether it is shown on a patient or simulated."),
        ("steps", "Mark the steps that you saw."),
    ],
)
def test_what_is_missing_is_asked_before_it_is_put_away(phone, without, said):
    if without != "person":
        phone.page.get_by_role("button", name="Ana Reyes").tap()
    if without != "method":
        phone.page.locator("label:has([name=method][value=patient])").tap()
    if without != "steps":
        mark(phone, {"lens": "done"})
    phone.page.get_by_role("button", name="Save this demonstration").tap()
    assert phone.page.locator("#amiss").inner_text() == said
    assert phone.page.evaluate("outbox.records().length") == 0


def test_the_last_try_asks_for_the_second_assessor(phone):
    from browline.services.training.demonstrations import record

    now = timezone.now()
    for days in (3, 2):
        seen = cast.observed(steps=CURVED, time=now - timedelta(days=days))
        record(seen, actor="assessor omar", now=now)
    phone.go("/observe/")
    observe(phone, "Ana Reyes")
    assert phone.page.locator("#amiss").inner_text().startswith("At the last try a second assessor")
    phone.page.get_by_label("Second assessor").select_option(label="Priya Shah (priya)")
    phone.page.get_by_role("button", name="Save this demonstration").tap()
    waits(phone, 0)
    assert Demonstration.objects.get(attempt=3).second.identifier == "priya"


def test_somebody_is_found_by_a_few_letters_and_somebody_new_is_typed_in(phone):
    phone.page.fill("#search", "oka lar")
    assert phone.page.locator("#people button").count() == 1
    phone.page.fill("#search", "Zoe Unlisted")
    phone.page.get_by_role("button", name="Not on this list").tap()
    assert phone.page.input_value("#person_typed") == "Zoe Unlisted"
    phone.page.locator("label:has([name=method][value=patient])").tap()
    mark(phone, WHOLE)
    phone.page.get_by_role("button", name="Save this demonstration").tap()
    waits(phone, 0)
    assert "Zoe Unlisted: It waits for the educator" in status(phone)


def test_every_target_is_large_enough_nothing_is_wider_than_the_screen_and_axe_is_content(phone):
    phone.page.get_by_role("button", name="Ana Reyes").tap()
    mark(phone, CURVED)
    sizes = phone.page.evaluate(
        """() => [...document.querySelectorAll('#observe button, #observe .mark, #observe select, #observe summary, '
        + '#observe input:not([type=hidden], [type=radio], [type=checkbox])')].filter((e) => e.checkVisibility())
        .map((e) => [e.textContent.trim().slice(0, 20) || e.name, e.getBoundingClientRect().height])"""
    )
    assert [(what, size) for what, size in sizes if size < SMALLEST_TARGET] == []
    assert len(sizes) > 3 * len(STEPS)
    assert phone.overflow() <= 0
    assert phone.violations() == []


def test_the_pages_of_the_records_are_sound_wide_and_narrow(opened, port):
    from browline.services.training.demonstrations import record
    from browline.services.training.demonstrations.pending import receive

    now = timezone.now()
    made = record(cast.observed(steps=CURVED, time=now), actor="assessor omar", now=now).demonstration
    receive({"key": "x", "person": who("ana")}, bearer=None, actor="educator", now=now)
    for earlier, steps in ((0, WHOLE), (1, CURVED)):
        seen = cast.observed("ben", steps=steps, time=now - timedelta(seconds=earlier))
        record(seen, actor="assessor omar", now=now)
    tab = Tab(opened, port, viewport={"width": 360, "height": 740})
    tab.come_in()
    one = f"{made.pk}/"
    pages = (
        "",
        one,
        f"{one}amend/",
        "to-score/",
        f"to-score/{one}",
        "assessors/",
        "waiting/",
        "/observe/sheet/",
    )
    for page in pages:
        for width in (360, 1280):
            tab.page.set_viewport_size({"width": width, "height": 740})
            address = page if page.startswith("/") else f"/teaching/demonstrations/{page}"
            assert tab.go(address).status == 200
            assert tab.overflow() <= 0, page
            assert tab.violations() == [], page
    assert tab.complaints == []
    tab.close()


def test_it_works_through_the_door_for_phones(opened, port):
    """127.0.0.2, a second address of this computer, stands for the ward's network."""
    from test_phones import LAN, on_this_computer

    from browline.web import server

    if not on_this_computer(LAN):
        pytest.skip("this system gives loopback one address only")
    with server.open_to_phones(LAN) as address:
        one = Tab(opened, port, viewport={"width": 360, "height": 740}, has_touch=True)
        one.origin = address
        come_in(one, "omar")
        one.go("/observe/")
        observe(one, "Ana Reyes")
        waits(one, 0)
        one.close()
    assert here() == [("ana", "signed-off")]


def test_keys_and_moments_are_made_without_what_only_encrypted_pages_have(phone):
    """A ward's network has no TLS: there crypto.randomUUID is missing, and here it is taken away."""
    phone.page.evaluate("delete Crypto.prototype.randomUUID")
    made = phone.page.evaluate("outbox.put('/nowhere/', {a: '1'}, 'a try')")
    assert json.loads(json.dumps(made))["fields"]["key"] == made["key"]
    import uuid

    assert uuid.UUID(made["key"]).version == 4
    from datetime import datetime

    assert datetime.fromisoformat(made["fields"]["at"]).utcoffset() is not None
