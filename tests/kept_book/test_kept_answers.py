"""The other documents that the kept book's commands wrote open as documents and are written again byte for byte."""

import json

from browline.documents.coverage import coverage_json, read_coverage
from browline.documents.encoding import plain
from browline.documents.plan import plan_json, read_plan
from browline.store.models import SessionPlan


def as_written(contract):
    """JSON as commands of that version wrote it."""
    return json.dumps(contract, indent=2, ensure_ascii=False) + "\n"


def test_the_coverage(kept):
    frozen = kept.told("frozen/coverage.json")
    assert len(frozen["weeks"]["cells"]) > 3 and frozen["on_duty"]["eligible"]
    assert coverage_json(read_coverage(frozen)) == as_written(frozen)


def test_the_plan(kept):
    frozen = kept.told("frozen/plan.json")
    options = frozen["options"]
    assert frozen["visits"] and frozen["champions"]
    assert plan_json(options, read_plan(frozen)) == as_written(frozen)


def test_the_plans_that_the_book_stores(kept):
    plans = SessionPlan.objects.all()
    assert plans
    for plan in plans:
        assert json.dumps(plain(plan.document)) == json.dumps(plan.result)
