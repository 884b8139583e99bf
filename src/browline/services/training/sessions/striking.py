"""Striking a sign-in, with its reason; it stays struck though the phone sends it again."""

from django.db import transaction

from browline.errors import NotUnderstood
from browline.store.attended import follow
from browline.store.event_log import Unchanged, recorded
from browline.store.models import Session, SignIn


def strike(session: Session, person: int, how: str, reason: str, *, actor: str) -> None:
    """Strike one way in which somebody was signed in; it stays struck though the phone sends it again."""
    if not reason.strip():
        raise NotUnderstood(
            "No reason was given.", "A name is struck with a reason.", "Say why, in a few words."
        )
    with transaction.atomic():
        sign_in, _ = SignIn.objects.get_or_create(
            session=session, person_id=person, how=how, defaults={"actor": actor}
        )
        with recorded(actor, "sign-in-struck", session.pk, {"person": person, "how": how}):
            if not SignIn.objects.not_struck().filter(pk=sign_in.pk).update(struck=reason.strip()[:200]):
                raise Unchanged
        follow(session.time, [person])


def strike_all(person: int, reason: str, *, actor: str, session: Session | None = None) -> int:
    """Strike every way in which somebody was signed in, to one session or to all; returns how many were."""
    with transaction.atomic():
        valid = SignIn.objects.not_struck().filter(person=person).select_related("session")
        sign_ins = list(valid if session is None else valid.filter(session=session))
        for sign_in in sign_ins:
            strike(sign_in.session, person, sign_in.how, reason, actor=actor)
    return len(sign_ins)
