"""What waited on phones without a network is taken by the kept book, once."""

import json

import pytest
from kept import rows

# By the name of the post: what the phone is told, and how many rows of what it brings.
BRINGS = {
    "sign-in": ((True, False), {"SignIn": 1, "Attendance": 1}),
    "observation": ((True, False), {"Demonstration": 1}),
    "observation-that-waits": ((False, True), {"Demonstration": 0}),
    "round": ((True, False), {"Sighting": 6}),
}


@pytest.fixture
def send(kept, come_in):
    """Send a post as its phone does, with the pass that the phone holds."""

    def send(name):
        told = kept.told(f"post/{name}.json")
        phone = come_in(f"/in/pass/{told['pass']}/" if told["pass"] else "")
        answer = phone.post(told["url"], json.dumps(told["fields"]), content_type="application/json")
        assert answer.status_code == 200, answer.content.decode()
        return answer.json()

    return send


def test_every_post_of_the_zip_is_sent(kept):
    assert sorted(path.stem for path in (kept.folder / "post").iterdir()) == sorted(BRINGS)


@pytest.mark.parametrize("name", BRINGS)
def test_it_is_taken_and_sent_again_it_changes_nothing(send, name):
    told, brought = BRINGS[name]
    before = rows()
    first = send(name)
    assert (first["kept"], first["waiting"]) == told, first["sentence"]
    # What waits says of whom the phone spoke.
    assert not first["waiting"] or "'778000'" in first["sentence"]
    after = rows()
    more = {model: after[model] - before[model] for model in brought}
    assert more == brought
    again = send(name)
    assert (again["kept"], again["waiting"]) == told and rows() == after
