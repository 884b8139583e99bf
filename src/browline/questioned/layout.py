"""Indices into the state of a hypothesis: L, C, V, S.., differences.., condition sizes.., o.., state sizes.."""

from dataclasses import dataclass

from browline.questioned.problem import Problem, Reading
from browline.questioned.transition import SITE0

# Sites that a next step may use: their lag runs with the others, so that what they would show is known.
STEP_SITES = ("temporal", "oral", "rectal", "axillary", "tympanic")


@dataclass(frozen=True)
class Layout:
    """Sites that were read come first in `sites`; `instruments` are (name, kind), or ("", site) without a name."""

    sites: tuple[str, ...]
    read: int
    instruments: tuple[tuple[str, str], ...]

    @property
    def moving(self) -> int:
        """How many of the state move with time."""
        return SITE0 + len(self.sites)

    @property
    def size(self) -> int:
        """How many there are in all."""
        return self.moving + 2 * self.read + 2 * len(self.instruments)

    def temperature(self, site: int) -> int:
        """Index of the temperature S of a site."""
        return SITE0 + site

    def difference(self, site: int) -> int:
        """Index of this patient's difference at a site."""
        return self.moving + site

    def condition(self, site: int) -> int:
        """Index of the size of the condition of a site."""
        return self.moving + self.read + site

    def offset(self, instrument: int) -> int:
        """Index of the offset of an instrument."""
        return self.moving + 2 * self.read + instrument

    def state(self, instrument: int) -> int:
        """Index of the size of the state of an instrument."""
        return self.moving + 2 * self.read + len(self.instruments) + instrument


def build_layout(problem: Problem) -> Layout:
    """The layout of a problem: sites and instruments in the order in which they were first used."""
    in_time = in_order(problem)
    read = tuple(dict.fromkeys(reading.site for reading in in_time))
    more = [problem.core_probe] if problem.core_probe else []
    steps = tuple(site for site in (*more, *STEP_SITES) if site not in read)
    return Layout(
        sites=(*read, *dict.fromkeys(steps)),
        read=len(read),
        instruments=tuple(dict.fromkeys(instrument_key(problem, reading) for reading in in_time)),
    )


def in_order(problem: Problem) -> tuple[Reading, ...]:
    """The readings, earliest first; of one moment, in the order given."""
    return tuple(sorted(problem.readings, key=lambda reading: -reading.minutes_ago))


def instrument_key(problem: Problem, reading: Reading) -> tuple[str, str]:
    """Which instrument took a reading: its name and kind; without a name one for each site."""
    return (
        (reading.instrument, problem.priors.sites[reading.site].kind)
        if reading.instrument
        else ("", reading.site)
    )
