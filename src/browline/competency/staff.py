"""The people asked about, their duties, and who counts where."""

from dataclasses import dataclass
from datetime import date, datetime

from browline.competency.status import Standing


@dataclass(frozen=True)
class Away:
    """Why a person is not counted, from one day to another (None: until further notice)."""

    reason: str
    start: date
    end: date | None = None


@dataclass(frozen=True)
class Member:
    """One person: home ward, role, whether the staff list has them, from when to when, and where they stand."""

    person: int
    ward: str
    role: str
    standing: Standing
    listed: bool = True
    start: date | None = None
    end: date | None = None
    away: tuple[Away, ...] = ()


@dataclass(frozen=True)
class Duty:
    """One line of the roster. `ward` may be empty (the home ward then counts); times only where known."""

    person: int
    day: date
    ward: str
    kind: str
    start: datetime | None = None
    end: datetime | None = None


@dataclass(frozen=True)
class Counted:
    """A person counted on a ward in a kind of shift."""

    member: Member
    ward: str
    kind: str

    @property
    def signed_off(self) -> bool:
        """Whether their sign-off holds."""
        return self.member.standing.current
