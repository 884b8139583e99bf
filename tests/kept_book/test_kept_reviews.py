"""The kept book's reviews open as documents and are written again byte for byte, as is one made now."""

import json

import pytest

from browline.cli.main import main
from browline.documents.encoding import plain
from browline.documents.finding import read_finding
from browline.documents.review import read_review, stored_parts
from browline.store.models import Finding, Review


@pytest.fixture(scope="module")
def reviews(kept):
    """Those that the book kept, and one by person made by this version."""
    before = {review.pk for review in Review.objects.all()}
    assert main(["review", "--people", "--book", str(kept.book.folder)]) == 0
    every = Review.objects.order_by("pk")
    assert len(before) > 2 and len(every) == len(before) + 1
    return list(every)


def test_every_review_is_written_again_as_it_was_stored(reviews):
    for review in reviews:
        contract, supplement = stored_parts(review.document)
        assert json.dumps(contract) == json.dumps(review.result)
        known = {name: part for name, part in review.supplement.items() if name != "withdrawn"}
        assert json.dumps(supplement) == json.dumps(known)


def test_nothing_that_a_review_stores_is_passed_over_but_what_was_taken_back(reviews):
    for review in reviews:
        assert set(review.supplement) - set(stored_parts(review.document)[1]) <= {"withdrawn"}


def test_every_finding_keeps_what_was_stored_of_it(reviews):
    for finding in Finding.objects.all():
        data = finding.data if finding.withdrawn == "" else {**finding.data, "withdrawn": finding.withdrawn}
        written = plain(read_finding(data))
        assert {name: written[name] for name in data} == data


def test_a_field_of_a_later_version_is_passed_over(reviews):
    later = {**reviews[-1].result, "seasons": [1]}
    assert read_review(later, reviews[-1].supplement) == reviews[-1].document
