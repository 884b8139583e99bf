"""What could be done next: sites and instruments, with the waits that common practice and published values ask for."""

from dataclasses import dataclass
from types import MappingProxyType

from browline.quantities.sites import CORE_SITES
from browline.questioned.layout import in_order
from browline.questioned.problem import Problem, Reading

# Minutes. Drinks: 15 after a cold, 23 after a hot one (published); at least 10 indoors (published, 150 children);
# a drenched skin about 10, an uncovered one about 1, a repeat about half (common practice, no source).
WAITS = MappingProxyType(
    {"damp": 10.0, "covered": 1.0, "heat": 1.0, "cold-in": 10.0, "cold-drink": 15.0, "hot-drink": 23.0}
)
REPEAT = 0.5
LATER = 60.0
SLOW = "rectal"
OTHERS = ("oral", "rectal", "tympanic", "axillary")


@dataclass(frozen=True)
class Candidate:
    """A reading that could be taken. `instrument`: index of the reading whose instrument is used; None: another one."""

    kind: str
    site: str
    wait_minutes: float
    instrument: int | None


def candidates(problem: Problem) -> tuple[Candidate, ...]:
    """Everything that could be done, sites that are barred too; readings counted earliest first."""
    readings = in_order(problem)
    options = [Candidate("core-probe", problem.core_probe, 0.0, None)] if problem.core_probe else []
    options += _same_site(problem, readings)
    sites_read = {reading.site for reading in readings}
    options += [
        Candidate("other-site", site, wait(problem, site), None) for site in OTHERS if site not in sites_read
    ]
    return tuple(options + _later(readings))


def wait(problem: Problem, site: str) -> float:
    """Minutes before a site can be read, as the answers and the last reading there have it."""
    questions = {shift.answer for shift in problem.priors.sites[site].conditions}
    return max([0.0, *(WAITS[word] for word in WAITS if word in questions and problem.answer(word) == "yes")])


def _same_site(problem: Problem, readings: tuple[Reading, ...]) -> list[Candidate]:
    """Where the last questioned reading was taken: with a second instrument, and once more with the same."""
    outside = [k for k, reading in enumerate(readings) if reading.site not in (*CORE_SITES, SLOW)]
    if not outside:
        return []
    last = outside[-1]
    site = readings[last].site
    ready = wait(problem, site)
    more = [Candidate("second-instrument", site, ready, None)] if problem.another else []
    return [*more, Candidate("prepare-and-repeat", site, max(ready, REPEAT), last)]


def _later(readings: tuple[Reading, ...]) -> list[Candidate]:
    """Where the slow site was read, propose it once more after `LATER` (60 min): taught, no source found."""
    last = [k for k, reading in enumerate(readings) if reading.site == SLOW]
    return [Candidate("repeat-later", SLOW, LATER, last[-1])] if last else []
