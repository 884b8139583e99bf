"""What this house forbids, numbered as in its plan; what still stands from before is counted and may only shrink.

1 imports of ours inside functions and 2 circles: see test_arrows. Each check reads the code as text, so that a planted
offence fails it (see the tests at the end).
"""

import ast
import re
from collections import Counter

import measure
import pytest

from browline.columns import IMPORT_KINDS
from browline.findings import BY_ID
from browline.quantities.sites import CATALOGUE, WAYS

# 3: how often `Any` is written by folder. 5: formats of numbers and dates in words for readers, outside display.
ANY = {"services": 0, "figures": 0, "paper": 0, "web": 0}
# Display itself, the two on its own floor, and invented data, which nobody reads as words.
UNREAD = ("synthetic", "display", "errors", "quantities")
FOR_PROGRAMS = re.compile("%Y-?%m")
# 4: where kinds of finding may be named side by side, or a kind be compared with one by name, and how often: numbers
# and steps of a method, never words for readers.
KIND_IDS = frozenset(BY_ID)
BY_KIND = {
    "browline.audit.explain": 1,  # halves and wholes heap by rounding
    "browline.audit.onset": 2,  # the week of a step is looked for in one test
    "browline.audit.repeats": 1,  # shares let pass
    "browline.audit.solve": 6,  # shares let pass, and which tests compare what
    "browline.audit.thresholds": 1,  # lines
    "browline.variation.causes": 1,  # weights of causes
    "browline.variation.explain": 1,  # the two kinds that this room makes beside offsets
    "browline.services.demo.habits": 1,  # what a planted habit shows in
    "browline.services.review.audit_part": 3,  # the value whose weeks are followed; units lie apart
    "browline.services.review.look_back": 2,  # which stored rows stand behind a finding
    "browline.services.review.wards.rows_behind": 3,  # and behind an answer
    "browline.services.review.report.method": 1,  # reasons to leave a reading out, two of them words of kinds too
}
# 4: the same for kinds of import and measuring sites: words lie in their rows. Pages of the
# menu bear some of the names.
NAMES = frozenset((*IMPORT_KINDS, *CATALOGUE, *(way.name for way in WAYS), *(way.in_rules for way in WAYS)))
ROW_FILES = ("browline.columns.", "browline.quantities.sites")
WORDS_BY_NAME = {"browline.web.frame": 1}
# 6: objects of a module that are changed after it was imported; none but these. Uploads under way hold patients'
# identifiers: they stay in the memory of the process that has them, and no database keeps them.
CHANGED = {
    "browline.web.readings.imports.pending_uploads:_uploads",
    "browline.web.readings.imports.pending_uploads:_taken_by",
}
# 7: a room that tests, studies and benchmarks share with the demonstration.
SHARED_ROOM = "synthetic"
# 8: constructions in rooms; 9: bound names.
BY_POSITION = 2
FILLERS = 170
# 11: transactions opened by hand, by folder; an event row is written by the event log alone.
TRANSACTIONS = {"services": 20, "store": 3}


@pytest.fixture(scope="module")
def found():
    return measure.modules()


def folder(name):
    return name.split(".")[1] if "." in name else ""


def by_kind(tree):
    """Kinds of finding side by side in a literal, or a kind or test compared with one by name."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Dict | ast.Tuple | ast.List | ast.Set):
            parts = node.keys if isinstance(node, ast.Dict) else node.elts
            if len({p.value for p in parts if isinstance(p, ast.Constant)} & KIND_IDS) > 1:
                yield node.lineno
        elif isinstance(node, ast.Compare):
            words = {
                n.value for n in ast.walk(node) if isinstance(n, ast.Constant) and isinstance(n.value, str)
            }
            if words & KIND_IDS and re.search("kind|test", ast.unparse(node)):
                yield node.lineno


def is_worded(node):
    """Whether an expression is words, or a row of them."""
    if isinstance(node, ast.Tuple | ast.List):
        return any(map(is_worded, node.elts))
    return isinstance(node, ast.JoinedStr) or isinstance(getattr(node, "value", None), str)


def sentences(body):
    """Strings of several words in a block."""
    texts = (n.value for part in body for n in ast.walk(part) if isinstance(n, ast.Constant))
    return [text for text in texts if isinstance(text, str) and " " in text.strip()]


def words_by_name(tree):
    """Words keyed by kinds of import or by sites, or chosen by comparing with one by name."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Dict):
            keyed = [
                value
                for key, value in zip(node.keys, node.values, strict=True)
                if getattr(key, "value", "") in NAMES
            ]
            if len(keyed) > 1 and any(map(is_worded, keyed)):
                yield node.lineno
        elif isinstance(node, ast.If | ast.IfExp) and isinstance(node.test, ast.Compare):
            compared = {n.value for n in ast.walk(node.test) if isinstance(n, ast.Constant)}
            arms = (node.body, node.orelse) if isinstance(node, ast.IfExp) else ()
            said = sentences(node.body) if isinstance(node, ast.If) else [a for a in arms if is_worded(a)]
            if compared & NAMES and said:
                yield node.lineno


def formats(tree):
    """Formats such as {x:.1f}, {x:,} or {x:.0%} and strftime; not times as programs, SQL and file names write them."""
    for node in ast.walk(tree):
        if isinstance(node, ast.FormattedValue) and node.format_spec is not None:
            spec = "".join(str(getattr(part, "value", "")) for part in node.format_spec.values)
            if re.search(r"\.\d[fg%]|,|%[YbdHM]", spec) and not FOR_PROGRAMS.match(spec):
                yield node.lineno
        elif (
            isinstance(node, ast.Call)
            and getattr(node.func, "attr", "") == "strftime"
            and not FOR_PROGRAMS.match(str(getattr(node.args[0], "value", "")))
        ):
            yield node.lineno


def changed(tree):
    """Names bound at the top to a list, dict, set or deque that a function changes, or rebinds by `global`."""
    makers = (ast.List, ast.Dict, ast.Set, ast.ListComp, ast.DictComp, ast.SetComp)
    top = {
        target.id
        for node in tree.body
        if isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None
        for target in (node.targets if isinstance(node, ast.Assign) else [node.target])
        if isinstance(target, ast.Name)
        and (
            isinstance(node.value, makers)
            or getattr(getattr(node.value, "func", None), "id", "")
            in {"list", "dict", "set", "deque", "defaultdict"}
        )
    }
    verbs = {
        "append",
        "add",
        "update",
        "pop",
        "popitem",
        "clear",
        "extend",
        "insert",
        "remove",
        "setdefault",
        "discard",
    }
    for function in measure.functions(tree):
        local = {a.arg for a in ast.walk(function) if isinstance(a, ast.arg)}
        local |= {
            n.id for n in ast.walk(function) if isinstance(n, ast.Name) and isinstance(n.ctx, ast.Store)
        }
        for node in ast.walk(function):
            if isinstance(node, ast.Global):
                yield from node.names
            owner = None
            if (
                isinstance(node, ast.Call)
                and isinstance(node.func, ast.Attribute)
                and node.func.attr in verbs
            ):
                owner = node.func.value
            elif isinstance(node, ast.Subscript) and isinstance(node.ctx, ast.Store | ast.Del):
                owner = node.value
            if isinstance(owner, ast.Name) and owner.id in top - local:
                yield owner.id


def classes(found):
    """Names of our own dataclasses and named tuples."""
    return {
        node.name
        for _, tree in found.values()
        for node in ast.walk(tree)
        if isinstance(node, ast.ClassDef)
        and (
            any("dataclass" in ast.dump(d) for d in node.decorator_list)
            or any("NamedTuple" in ast.dump(b) for b in node.bases)
        )
    }


def by_position(tree, ours):
    """Constructions of ours with more than four fields given by position."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") in ours:
            plain = [a for a in node.args if not isinstance(a, ast.Starred)]
            if len(plain) > 4:
                yield node.lineno


def saves(tree):
    """form.save(): forms clean, services save."""
    for node in ast.walk(tree):
        called = node.func if isinstance(node, ast.Call) else None
        saved = isinstance(called, ast.Attribute) and called.attr == "save"
        if saved and "form" in ast.unparse(called.value).lower():
            yield node.lineno


def writes(tree):
    """Calls by which a model or a queryset is written: dicts are updated by position, pictures saved to a file."""
    makers = {"create", "get_or_create", "update_or_create", "bulk_create", "bulk_update"}
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            name = node.func.attr
            bare = not node.args and (name in {"save", "delete"} or (name == "update" and node.keywords))
            if name in makers or bare:
                yield node.lineno


def transactions(tree):
    """transaction.atomic(): a change is `recorded`, and opens its transaction with its event."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and ast.unparse(node.func) == "transaction.atomic":
            yield node.lineno


def events(tree):
    """Event rows written by hand."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and re.fullmatch(
            r"Event(\.objects\.(create|bulk_create|get_or_create|update_or_create))?", ast.unparse(node.func)
        ):
            yield node.lineno


def temporary(tree):
    """Temporary files in a folder that nobody named: the system's, where a kill leaves people's data."""
    makers = {
        "TemporaryDirectory",
        "NamedTemporaryFile",
        "TemporaryFile",
        "SpooledTemporaryFile",
        "mkstemp",
        "mkdtemp",
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            name = ast.unparse(node.func).rpartition(".")[2]
            if name in makers and "dir" not in {keyword.arg for keyword in node.keywords}:
                yield node.lineno


def used(found):
    """Every module that the commands, the settings, Django's own finding by name or a page's address reaches."""
    drawn = measure.arrows(found)
    for name, (_, tree) in found.items():
        strings = {
            n.value for n in ast.walk(tree) if isinstance(n, ast.Constant) and isinstance(n.value, str)
        }
        drawn[name] |= {s.split(":")[0] for s in strings if s.split(":")[0] in found}
        drawn[name] |= {s.rpartition(".")[0] for s in strings if s.rpartition(".")[0] in found}
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "lazy_door":
                drawn[name] |= {m for m in found if m.startswith(f"{name}.")}
    start = ["browline.cli.main", "browline.settings.base", "browline.store.apps", "browline.store.models"]
    start += [name for name in found if ".migrations" in name or ".templatetags" in name]
    seen, waiting = set(), list(start)
    while waiting:
        name = waiting.pop()
        if name in found and name not in seen:
            seen.add(name)
            waiting += [*drawn[name], name.rpartition(".")[0]]
    return seen


def test_3_any_is_written_no_more_than_before(found):
    counted = Counter()
    for name, (_, tree) in found.items():
        counted[folder(name)] += measure.explicit_any(tree)
    assert {part: counted[part] for part in ANY if counted[part] > ANY[part]} == {}


def test_4_words_of_a_kind_of_finding_lie_in_its_row(found):
    counted = {
        name: sum(1 for _ in by_kind(tree))
        for name, (_, tree) in found.items()
        if not name.startswith("browline.findings.")
    }
    assert {name: n for name, n in counted.items() if n > BY_KIND.get(name, 0)} == {}
    assert {name: n for name, n in BY_KIND.items() if counted[name] < n} == {}, "lower these"


def test_4_pages_and_papers_name_no_kind_of_finding():
    named = re.compile("|".join(sorted(kind for kind in KIND_IDS if "-" in kind)))
    pages = [p for ending in ("html", "typ", "txt", "js") for p in measure.SRC.rglob(f"*.{ending}")]
    assert len(pages) > 100
    assert [str(page) for page in pages if named.search(page.read_text())] == []


def test_4_words_of_kinds_of_import_and_of_sites_lie_in_their_rows(found):
    counted = {
        name: sum(1 for _ in words_by_name(tree))
        for name, (_, tree) in found.items()
        if not name.startswith(ROW_FILES)
    }
    assert {name: n for name, n in counted.items() if n != WORDS_BY_NAME.get(name, 0)} == {}


def test_4_pages_and_papers_compare_with_no_kind_of_import_and_no_site():
    named = re.compile(rf"(?:kind|site) *[!=]= *[\"']({'|'.join(sorted(NAMES))})[\"']")
    pages = [p for ending in ("html", "typ", "txt", "js") for p in measure.SRC.rglob(f"*.{ending}")]
    assert [str(page) for page in pages if named.search(page.read_text())] == []
    assert named.search('{% if receipt.kind == "roster" %}')


def test_5_numbers_and_dates_are_worded_by_display(found):
    counted = Counter()
    for name, (_, tree) in found.items():
        counted[name] += sum(1 for _ in formats(tree))
    assert {name: n for name, n in counted.items() if n and folder(name) not in UNREAD} == {}


def test_6_nothing_of_a_module_is_changed_after_its_import(found):
    kept = {f"{name}:{what}" for name, (_, tree) in found.items() for what in changed(tree)}
    assert kept - CHANGED == set()
    assert CHANGED - kept == set(), "take these out of the list"


def test_7_no_module_is_there_for_tests_alone(found):
    assert {name for name in set(found) - used(found) if folder(name) != SHARED_ROOM} == set()


def test_8_more_than_four_fields_are_given_by_name(found):
    ours = classes(found)
    places = [f"{name}:{line}" for name, (_, tree) in found.items() for line in by_position(tree, ours)]
    assert len(places) <= BY_POSITION, places


def test_9_names_that_say_nothing_only_grow_fewer(found):
    assert sum(sum(measure.fillers(tree).values()) for _, tree in found.values()) <= FILLERS


def test_10_forms_clean_and_services_save(found):
    assert [f"{name}:{line}" for name, (_, tree) in found.items() for line in saves(tree)] == []


def test_10_views_and_commands_leave_writing_to_services(found):
    """The one user of the sign-in is Django's own, no record of the book."""
    shown = {
        name for name, (_, tree) in found.items() if folder(name) in {"web", "cli"} and list(writes(tree))
    }
    assert shown == {"browline.web.access"}


def test_11_events_are_written_by_the_event_log_alone(found):
    places = {name for name, (_, tree) in found.items() if list(events(tree))}
    assert places == {"browline.store.event_log"}


def test_11_transactions_opened_by_hand_only_grow_fewer(found):
    counted = Counter()
    for name, (_, tree) in found.items():
        if name != "browline.store.event_log":
            counted[folder(name)] += sum(1 for _ in transactions(tree))
    assert {part: n for part, n in counted.items() if n > TRANSACTIONS.get(part, 0)} == {}


def test_12_temporary_files_lie_in_a_folder_of_ours(found):
    assert [f"{name}:{line}" for name, (_, tree) in found.items() for line in temporary(tree)] == []


@pytest.mark.parametrize(("check", "planted"), [
    (by_kind, "WORDS = {'ward-offset': 'a', 'value-spike': 'b'}"),
    (by_kind, "NAMES = ('ward-offset', 'value-spike')"),
    (by_kind, "def f(finding):\n    return finding.kind == 'ward-offset'"),
    (by_kind, "def f(row):\n    return row['kind'] in ('ward-offset', 'new')"),
    (by_kind, "def f(one):\n    return one.test != 'edge'"),
    (words_by_name, "TITLES = {'cleanings': 'cleanings of thermometers', 'checks': 'checks'}"),
    (words_by_name, "NAMES = {'oral': ('by mouth', 'po'), 'rectal': ('rectum',)}"),
    (words_by_name, "def f(site):\n    return 'forehead' if site == 'temporal' else site"),
    (words_by_name, "def f(kind):\n    if kind == 'roster':\n        raise ValueError('a roster has no mapping')"),
    (formats, "def f(x):\n    return f'{x:.1f} °C'"),
    (formats, "def f(day):\n    return day.strftime('%d %b')"),
    (changed, "_open = []\ndef f(x):\n    _open.append(x)"),
    (changed, "_n = 0\ndef f():\n    global _n\n    _n = 1"),
    (lambda tree: by_position(tree, {"Row"}), "Row(1, 2, 3, 4, 5)"),
    (saves, "def f(form):\n    form.save()"),
    (writes, "def f(person):\n    person.save()"),
    (writes, "def f(people):\n    people.filter(pk=1).update(name='A')"),
    (transactions, "def f():\n    with transaction.atomic():\n        pass"),
    (temporary, "def f():\n    with tempfile.TemporaryDirectory() as folder:\n        pass"),
    (events, "def f():\n    Event.objects.create(verb='set')"),
    (lambda tree: [1] * measure.explicit_any(tree), "def f(x: Any) -> None: ..."),
    (lambda tree: measure.fillers(tree).elements(), "def f(found): ..."),
])  # fmt: skip
def test_a_planted_offence_is_seen(check, planted):
    assert list(check(ast.parse(planted)))
