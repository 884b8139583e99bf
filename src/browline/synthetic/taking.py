"""Taking temperatures: the round's reading, the bladder beside it in intensive care, and the retakes.

A reading that looks wrong (outside about 36 to 38, or unlike the last one) is taken again within half an hour
with a stated chance: sometimes with another instrument, sometimes at another site. A few are repeated for no
reason. Quick pairs are selected, so nobody can use them naively (practice, finding 4). Our assumptions.
"""

from dataclasses import fields

import numpy as np

from browline.synthetic import sites
from browline.synthetic.arrays import Flags, Generator, Ints
from browline.synthetic.reading import Act, House, Latent, measure
from browline.synthetic.roster import Roster
from browline.synthetic.rounds import Rounds
from browline.synthetic.stays import Stays

LOOKS_LOW, LOOKS_HIGH, LOOKS_SD, JUMP = 36.0, 38.0, 0.15, 0.9
RETAKEN_IF_WRONG, RETAKEN_ANYWAY = 0.55, 0.025
OTHER_INSTRUMENT, OTHER_SITE = 0.40, 0.20
OTHER_NURSE = 0.10
LONG = 1e6


def take_all(
    stays: Stays, rounds: Rounds, roster: Roster, house: House, rng: Generator, habit: Generator
) -> Latent:
    """All readings of the export, by stay and then by time; habits of wards draw from `habit`."""
    site = sites.sites_used(sites.usual_sites(len(stays), rng)[rounds.stay], rng)
    site = sites.switched(site, rounds.ward == house.wards.habits.switching, habit)
    first = _first_act(site, rounds, roster, rng)
    firsts = measure(first, house, np.full(len(first.stay), -1), rng)
    again = np.flatnonzero(_retaken(firsts, rng))
    retakes = measure(_retake_act(firsts, rounds, roster, again, rng), house, again, rng)
    beside = _bladder_act(stays, rounds, roster, house)
    bladders = measure(beside, house, np.full(len(beside.stay), -1), rng)
    return _in_order(firsts, retakes, bladders)


def _first_act(site: Ints, rounds: Rounds, roster: Roster, rng: Generator) -> Act:
    """The round's own reading: the patient's nurse of this shift, with what is in that nurse's hand."""
    shift = roster.shift(rounds.time)
    place = (rounds.stay + shift // 2) % roster.places
    by_colleague = rng.random(len(place)) < OTHER_NURSE
    place = np.where(by_colleague, rng.integers(roster.places, size=len(place)), place)
    return Act(
        stay=rounds.stay,
        ward=rounds.ward,
        person=roster.team[rounds.ward, shift, place],
        instrument=_in_hand(roster, site, rounds.ward, shift, place),
        site=site,
        time=rounds.time,
        core=rounds.core,
        since_last=np.full(len(site), LONG),
    )


def _in_hand(roster: Roster, site: Ints, ward: Ints, shift: Ints, place: Ints) -> Ints:
    """The instrument in hand that suits the site."""
    out: Ints = np.stack(roster.hand)[sites.INSTRUMENT_KIND[site], ward, shift, place]
    return out


def _retaken(firsts: Latent, rng: Generator) -> Flags:
    """Which first readings are taken again."""
    y, n = firsts.measured, len(firsts)
    looks = rng.normal(0, LOOKS_SD, (2, n))
    wrong = (y + looks[0] < LOOKS_LOW) | (y + looks[0] > LOOKS_HIGH)
    same = np.diff(firsts.stay, prepend=-1) == 0
    wrong |= same & (np.abs(np.diff(y, prepend=0.0)) + looks[1] > JUMP)
    return rng.random(n) < np.where(wrong, RETAKEN_IF_WRONG, RETAKEN_ANYWAY)


def _retake_act(firsts: Latent, rounds: Rounds, roster: Roster, again: Ints, rng: Generator) -> Act:
    """The retakes: the same nurse, mostly the same site, often the same instrument."""
    ward, shift = rounds.ward[again], roster.shift(rounds.time[again])
    elsewhere = rng.random(len(again)) < OTHER_SITE
    first_site = firsts.site[again]
    swapped = np.where(first_site == sites.TEMPORAL, rng.choice(_SETTLERS, len(again)), sites.TEMPORAL)
    site = np.where(elsewhere, swapped, first_site)
    lent = _in_hand(roster, site, ward, shift, rng.integers(roster.places, size=len(again)))
    changes = elsewhere | (rng.random(len(again)) < OTHER_INSTRUMENT)
    wait = rounds.again[again] - rounds.time[again]
    return Act(
        stay=rounds.stay[again],
        ward=ward,
        person=firsts.person[again],
        instrument=np.where(changes, lent, firsts.instrument[again]),
        site=site,
        time=rounds.again[again],
        core=rounds.core_again[again],
        since_last=np.where(elsewhere, LONG, wait),
    )


_SETTLERS = np.array([sites.ORAL, sites.TYMPANIC, sites.AXILLARY])


def _bladder_act(stays: Stays, rounds: Rounds, roster: Roster, house: House) -> Act:
    """The bladder probe charted with the round's reading, in intensive care where there is a catheter."""
    care = house.wards.care[rounds.ward] == "intensive"
    rows = np.flatnonzero(care & (stays.catheter[rounds.stay] > 0))
    ward, shift = rounds.ward[rows], roster.shift(rounds.time[rows])
    place = (rounds.stay[rows] + shift // 2) % roster.places
    site = np.full(len(rows), sites.BLADDER)
    # A catheter's probe stays with the patient, so it goes by stay and not by what a nurse carries.
    probes = house.fleet.of_kind(int(sites.INSTRUMENT_KIND[sites.BLADDER]))
    return Act(
        stay=rounds.stay[rows],
        ward=ward,
        person=roster.team[ward, shift, place],
        instrument=probes[rounds.stay[rows] % len(probes)],
        site=site,
        time=rounds.time[rows],
        core=rounds.core[rows],
        since_last=np.full(len(rows), LONG),
    )


def _in_order(firsts: Latent, retakes: Latent, bladders: Latent) -> Latent:
    """The three together, by stay and then by time; a retake always after what it repeats."""
    parts = (firsts, retakes, bladders)
    joined = {f.name: np.concatenate([getattr(p, f.name) for p in parts]) for f in fields(Latent)}
    late: Flags = joined["retake_of"] >= 0
    order = np.lexsort((late, joined["time"], joined["stay"]))
    return Latent(**joined).take(order)
