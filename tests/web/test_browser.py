"""The pages in a real browser: axe, narrow windows, the keyboard, the policy, and no word to anyone else."""

import time

import fenwick_vale
import pytest
from browsing import Tab, browser, served

pytestmark = pytest.mark.browser

EMPTY_PAGES = [
    "/",
    "/readings/",
    "/instruments/",
    "/reports/",
    "/reports/request/",
    "/readings/chart/",
    "/wards/",
    "/choices/",
    "/teaching/",
    "/teaching/staff/",
    "/passes/",
    "/documents/checklist/",
    "/documents/checklist/change/",
]
PAGES = [
    "/",
    "/?people=1",
    "/findings/1/",
    "/findings/2/",
    "/findings/3/?people=1",
    "/readings/",
    "/readings/imports/1/",
    "/readings/imports/1/set-aside/",
    "/readings/chart/?what=instrument&name=FS-07",
    "/wards/",
    "/wards/Larch/",
    "/wards/Maple/",
    "/wards/Yew/",
    "/instruments/",
    "/instruments/1/",
    "/reports/",
    "/reports/request/",
    "/under-way/1/",
    "/under-way/2/",
    "/under-way/3/",
]
LARCH = """MRN,Visit,Obs time,Temp,Units,Route,Ward,Asset,Nurse
PLANTED-1,V1,2026-03-07 10:00,36.6,C,Temporal,Larch,FS-07,00417
PLANTED-1,V1,2026-03-07 14:05,37.9,C,Temporal,Larch,FS-07,00417
PLANTED-2,V2,2026-03-07 10:10,LO,C,Oral,Larch,FS-08,00417
"""


@pytest.fixture(scope="module")
def opened():
    # The driver runs an event loop in this thread, where Django would refuse to read the book.
    with pytest.MonkeyPatch.context() as patch, browser() as one:
        patch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")
        yield one


@pytest.fixture
def port(book):
    with served() as number:
        yield number


@pytest.fixture
def window(opened, port):
    """Opens tabs, and closes them before the server goes."""
    tabs = []

    def open_tab(**options):
        tabs.append(Tab(opened, port, **options))
        return tabs[-1]

    yield open_tab
    for one in tabs:
        one.close()


@pytest.fixture
def tab(window):
    """Ines's browser, signed in."""
    one = window(viewport={"width": 1280, "height": 800})
    one.come_in()
    return one


@pytest.fixture
def phone(window):
    """Ines's telephone, 360 px wide."""
    one = window(viewport={"width": 360, "height": 740})
    one.come_in()
    return one


@pytest.fixture
def full(book, monkeypatch):
    """A book with something on every page."""
    from browline.store.models import Job

    fenwick_vale.a_register()
    fenwick_vale.an_import()
    fenwick_vale.a_review(fenwick_vale.FS07, fenwick_vale.LARCH, fenwick_vale.PERSON, people=True)
    (book.reports / "review-1.json").write_text("{}")
    fenwick_vale.charts_of_fs07(monkeypatch)
    Job.objects.create(verb="review", state="done")
    Job.objects.create(verb="import", state="refused", message="The date order cannot be told.")
    Job.objects.create(verb="report", state="running")
    return book


def test_every_page_of_an_empty_book_is_sound(tab):
    for address in EMPTY_PAGES:
        assert tab.go(address).status == 200, address
        assert tab.violations() == [], address
    assert tab.complaints == []
    assert tab.hosts == {tab.origin.removeprefix("http://")}


def test_every_page_of_a_full_book_is_sound(full, tab):
    for address in PAGES:
        assert tab.go(address).status == 200, address
        assert tab.violations() == [], address
        assert tab.complaints == [], address
    assert tab.hosts == {tab.origin.removeprefix("http://")}


def test_every_page_fits_a_telephone(full, phone):
    for address in PAGES:
        assert phone.go(address).status == 200, address
        assert phone.overflow() <= 0, address
        assert phone.violations() == [], address


def test_the_closed_page_is_sound(window):
    stranger = window()
    assert stranger.go("/").status == 403
    assert stranger.violations() == []


def test_the_charts_are_drawn_under_the_policy(full, tab):
    tab.go("/findings/1/")
    assert tab.page.locator(".chart .wide svg[role=img]").is_visible()
    assert not tab.page.locator(".chart .narrow svg").is_visible()
    assert tab.page.locator("[style]").count() == 0


def test_the_policy_stops_what_is_not_ours(full, tab):
    tab.go("/")
    tab.page.evaluate("document.body.insertAdjacentHTML('beforeend', '<p style=\"color:red\">x</p>')")
    assert any("Content Security Policy" in said for said in tab.complaints)


def test_the_typeface_is_ours(tab):
    tab.go("/")
    assert tab.page.evaluate(
        "document.fonts.ready.then(() => document.fonts.check('1rem \"Source Sans Pro\"'))"
    )
    assert tab.page.evaluate("[...document.fonts].some(f => f.status === 'loaded')")


def test_the_first_tab_stop_skips_to_the_page(tab):
    tab.go("/")
    tab.page.keyboard.press("Tab")
    assert tab.page.evaluate("document.activeElement.className") == "skip"
    tab.page.keyboard.press("Enter")
    assert tab.page.evaluate("document.activeElement.id") == "main"


def test_focus_can_be_seen(tab):
    tab.go("/readings/")
    tab.page.keyboard.press("Tab")
    tab.page.keyboard.press("Tab")
    outline = tab.page.evaluate("getComputedStyle(document.activeElement).outlineWidth")
    assert outline == "3px"


def press_until(tab, words, key="Tab", most=80):
    """Tab on until the focus stands on something that says `words`."""
    for _ in range(most):
        tab.page.keyboard.press(key)
        said = tab.page.evaluate(
            "(document.activeElement.innerText || document.activeElement.id || '').trim()"
        )
        if words in said:
            return
    raise AssertionError(f"the keyboard does not reach “{words}”")


def choose(tab, file, tries=5):
    """Open the file dialogue of the focused field by the space bar; a busy machine may swallow a key press."""
    from playwright.sync_api import TimeoutError as TooLate

    for left in range(tries, 0, -1):
        try:
            with tab.page.expect_file_chooser(timeout=4000) as chooser:
                tab.page.keyboard.press("Space")
            chooser.value.set_files(file)
            return
        except TooLate:
            if left == 1:
                raise


def test_a_file_is_brought_in_by_keyboard_alone(tab):
    from browline.store.models import Import

    tab.go("/readings/")
    press_until(tab, "files")
    choose(tab, {"name": "larch.csv", "mimeType": "text/csv", "buffer": LARCH.encode()})
    press_until(tab, "Look at it")
    tab.page.keyboard.press("Enter")
    tab.page.wait_for_selector("h1:has-text('How this file will be read')")
    assert not Import.objects.exists()
    press_until(tab, "Take it as shown")
    tab.page.keyboard.press("Enter")
    # The page asks for its own progress until the job is done.
    tab.page.wait_for_selector("text=Read the receipt", timeout=60_000)
    press_until(tab, "Read the receipt")
    tab.page.keyboard.press("Enter")
    tab.page.wait_for_selector("h1:has-text('Receipt')")
    assert "Rows in the file" in tab.page.inner_text("main")
    assert (Import.objects.get().rows, Import.objects.get().taken) == (3, 2)
    assert tab.complaints == []


def test_a_file_can_be_dropped(tab):
    tab.go("/readings/")
    tab.page.evaluate(
        """text => {
            const carried = new DataTransfer();
            carried.items.add(new File([text], "larch.csv", {type: "text/csv"}));
            const form = document.querySelector("[data-drop]");
            form.dispatchEvent(new DragEvent("drop", {dataTransfer: carried, bubbles: true, cancelable: true}));
        }""",
        LARCH,
    )
    tab.page.wait_for_selector("h1:has-text('How this file will be read')")
    assert tab.complaints == []


def test_a_file_dropped_beside_the_form_does_not_replace_the_page(tab):
    tab.go("/readings/")
    kept = tab.page.evaluate(
        """() => !document.querySelector("h1").dispatchEvent(
            new DragEvent("drop", {dataTransfer: new DataTransfer(), bubbles: true, cancelable: true}))"""
    )
    assert kept


def test_a_page_prints_with_the_caution_and_the_table_without_the_buttons(full, tab):
    tab.go("/findings/1/")
    tab.page.emulate_media(media="print")
    assert not tab.page.get_by_role("navigation").is_visible()
    assert not tab.page.get_by_role("button", name="Enter the outcome").is_visible()
    assert tab.page.get_by_text("It does not diagnose").is_visible()
    assert tab.page.locator("td", has_text="05 Jan 2026").is_visible()


def test_a_file_is_looked_at_without_scripts(window):
    plain = window(java_script_enabled=False)
    plain.come_in()
    plain.go("/readings/")
    plain.page.set_input_files(
        "#files", {"name": "larch.csv", "mimeType": "text/csv", "buffer": LARCH.encode()}
    )
    plain.page.get_by_role("button", name="Look at it").click()
    assert "Nothing has been taken yet" in plain.page.inner_text("main")


def test_the_mapping_page_is_sound_on_a_telephone(phone):
    phone.go("/readings/")
    phone.page.set_input_files(
        "#files", {"name": "larch.csv", "mimeType": "text/csv", "buffer": LARCH.encode()}
    )
    phone.page.get_by_role("button", name="Look at it").click()
    assert phone.overflow() <= 0
    assert phone.violations() == []


def test_progress_goes_on_by_itself(book, tab, monkeypatch):
    from browline.services.book import jobs
    from browline.store.models import Job

    monkeypatch.setattr(jobs, "status", lambda book, job: job.state)
    job = Job.objects.create(verb="review", state="running", message="fitting the joint model")
    tab.go(f"/under-way/{job.pk}/")
    assert "fitting the joint model" in tab.page.inner_text("#progress")
    Job.objects.filter(pk=job.pk).update(message="writing the review", done=3, total=4)
    tab.page.wait_for_selector("text=writing the review", timeout=5000)
    Job.objects.filter(pk=job.pk).update(state="done")
    tab.page.wait_for_selector("text=The readings have been reviewed.", timeout=5000)
    asked = []
    tab.page.on("request", lambda request: asked.append(request.url))
    time.sleep(1.5)
    assert asked == [], "a finished job asks no more"
    assert tab.complaints == []


def test_a_large_file_goes_through_memory_only(book, tab, tmp_path):
    """Waitress would lay a body above half a megabyte in a temporary file; ours must not."""
    import tempfile

    laid = []
    real = tempfile.TemporaryFile
    tempfile.TemporaryFile = lambda *a, **k: laid.append(a) or real(*a, **k)
    try:
        rows = "".join(f"P{n},2026-03-07 10:00,36.6,Larch\n" for n in range(100_000))
        tab.go("/readings/")
        content = ("Patient,Obs time,Temp,Ward\n" + rows).encode()
        tab.page.set_input_files("#files", {"name": "large.csv", "mimeType": "text/csv", "buffer": content})
        tab.page.get_by_role("button", name="Look at it").click()
        tab.page.wait_for_selector("h1:has-text('How this file will be read')")
    finally:
        tempfile.TemporaryFile = real
    assert laid == []
    assert not [f for f in tmp_path.rglob("*") if f.is_file() and b"P99999," in f.read_bytes()]
