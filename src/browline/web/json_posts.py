"""What a phone's outbox posts: one flat object of texts and lists of texts, and nothing that could break a page."""

import json
from typing import NoReturn

from django.http import HttpRequest, UnreadablePostError

from browline.errors import InputRefused

# A database that keeps texts by their length takes a NUL; one that ends them there does not.
NUL = "\0"


def posted_fields(request: HttpRequest, largest: int) -> dict[str, object]:
    """The fields that were posted as JSON in a body of at most `largest` bytes.

    Raises `InputRefused` where the body is larger, is no JSON object, or holds anything but texts and lists of texts.
    """
    try:
        fields: object = json.loads(_body(request, largest), parse_constant=_no_number)
    except (ValueError, RecursionError, UnreadablePostError) as fault:
        raise _refused("What was sent cannot be read.") from fault
    if not isinstance(fields, dict) or not all(_plain(part) for pair in fields.items() for part in pair):
        raise _refused("What was sent is not a filled-in form.")
    return fields


def _body(request: HttpRequest, largest: int) -> bytes:
    # The length that was announced is asked first, so that a larger body is never read.
    if int(request.META.get("CONTENT_LENGTH") or 0) > largest or len(request.body) > largest:
        raise _refused("What was sent is too large.")
    return request.body


def _plain(value: object) -> bool:
    if isinstance(value, list):
        return all(isinstance(item, str) and _writable(item) for item in value)
    return isinstance(value, str) and _writable(value)


def _writable(text: str) -> bool:
    """Whether every database can keep it: no NUL, no half of a pair of surrogates."""
    return NUL not in text and not any("\ud800" <= letter <= "\udfff" for letter in text)


def _no_number(word: str) -> NoReturn:
    raise ValueError(f"{word} is not JSON")


def _refused(came: str) -> InputRefused:
    return InputRefused(came, "A page sends its fields as texts.", "Open the page again and fill it in anew.")
