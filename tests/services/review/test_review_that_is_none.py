"""A stored review that is none: pages refuse in words, and a new review puts it right."""

import pytest
from django.test import Client

from browline.documents.review import read_review
from browline.errors import InputRefused
from browline.services.review.run import review
from browline.store.book import open_book
from browline.store.models import Review
from browline.web.access import make_token


def test_what_is_no_review_is_refused_with_its_place():
    with pytest.raises(InputRefused, match=r"total.*The readings are untouched"):
        read_review({"readings": {"total": "many"}}, {})


def test_pages_say_what_to_do_and_a_new_review_stands_in_its_place(hospital):
    Review.objects.update(result={"readings": {"total": "many"}})
    client = Client(SERVER_NAME="127.0.0.1", headers={"host": "127.0.0.1:8765"})
    assert client.get(f"/in/{make_token()}/").status_code == 302
    answer = client.get("/")
    assert answer.status_code == 422
    assert "review them again" in answer.content.decode()
    open_book(hospital.folder)
    review(hospital)
    assert client.get("/").status_code == 200
