"""Small invented rotas, a check of plans that knows nothing of how they are made, and every plan there is."""

from collections import Counter, defaultdict
from datetime import date, timedelta
from itertools import combinations, pairwise

import numpy as np

from browline.visit_plan import (
    NIGHT,
    WEEKDAY,
    WEEKEND,
    Cover,
    Duties,
    FixedVisit,
    Limits,
    Problem,
    Stretch,
    Worth,
)

SHIFTS = {"early": (7.0, 15.0), "late": (13.0, 21.0), "night": (19.0, 31.5)}
DAY_H, NIGHT_FROM = 24.0, 19.0


def duties(rows):
    """Duties of (person, ward, day, shift) rows; days 5 and 6 of a week are its weekend."""
    made = [(p, w, 24 * d + SHIFTS[s][0], 24 * d + SHIFTS[s][1], time_of(d, s)) for p, w, d, s in rows]
    person, ward, start, end, time = zip(*made, strict=True) if made else ((),) * 5
    return Duties(
        np.array(person, dtype=np.int64),
        np.array(ward, dtype=np.int64),
        np.array(start, dtype=float),
        np.array(end, dtype=float),
        np.array(time, dtype=np.int64),
    )


def time_of(day, shift):
    """The time of the week of a shift."""
    return NIGHT if shift == "night" else WEEKEND if day % 7 > 4 else WEEKDAY


def stretch(day, first, last, starts):
    """A stretch of one day, or one night where it begins in the evening."""
    time = NIGHT if first >= NIGHT_FROM else WEEKEND if day % 7 > 4 else WEEKDAY
    return Stretch(24 * day + first, 24 * day + last, time, tuple(24 * day + s for s in starts))


def problem(rows, stretches, people, wards=1, **facts):
    """A problem where everybody is to be reached unless said."""
    to_reach = facts.pop("to_reach", np.ones(people, dtype=bool))
    return Problem(people, wards, to_reach, duties(rows), tuple(stretches), **facts)


def drawn(seed):
    """A random small problem: up to six people on two wards, up to four stretches with one to three starts each."""
    rng = np.random.default_rng(seed)
    people, days = int(rng.integers(3, 7)), [0, 1, 5, 8]
    rows = {
        (p, int(rng.integers(2)) if rng.random() < 0.3 else p % 2, d, str(rng.choice(list(SHIFTS))))
        for p in range(people)
        for d in days
        if rng.random() < 0.85
    }
    stretches = []
    for d in rng.choice(days, int(rng.integers(2, 5)), replace=False):
        begin = float(rng.choice([8.0, 9.5, 12.0, 20.0]))
        starts = [begin + 0.75 * k for k in range(int(rng.integers(1, 4)))]
        stretches.append(stretch(int(d), begin, begin + 5, starts))
    fixed = (FixedVisit(int(rng.integers(2)), 24.0 + 9, 0.5),) if rng.random() < 0.3 else ()
    return problem(
        sorted(rows),
        sorted(stretches, key=lambda s: s.start),
        people,
        wards=2,
        fixed=fixed,
        to_reach=rng.random(people) < 0.85,
        visit_h=0.5,
        walk_h=0.25,
        cover=Cover(share=0.5, most=int(rng.integers(1, 3)), stay=int(rng.random() < 0.3), round_h=0.5),
        limits=Limits(
            hours_a_week=float(rng.choice([0.75, 1.5, 2.25, 3.0])),
            visits_a_day=int(rng.integers(1, 4)),
            nights=int(rng.integers(0, 3)),
            weekends=int(rng.integers(0, 3)),
        ),
        worth=Worth(
            release=float(rng.choice([0.4, 0.6, 1.0])),
            chances=int(rng.integers(1, 4)),
            half_life_days=float(rng.choice([3.0, 28.0])),
            out_of_hours=float(rng.choice([1.0, 1.5])),
            hour=float(rng.choice([0.0, 0.1, 0.25])),
        ),
        first_weekday=int(rng.integers(7)),
        spent={0: 0.75} if rng.random() < 0.2 else {},
    )


def on_duty(p, ward, start, hours):
    """Who is on a ward for the whole of a visit, clear of handover."""
    d, edge = p.duties, p.cover.handover_h
    return {
        int(d.person[k])
        for k in range(len(d))
        if d.ward[k] == ward and d.start[k] + edge <= start + 1e-9 and start + hours <= d.end[k] - edge + 1e-9
    }


def room(p, ward, start, hours):
    """Places of a visit, from the words of the rule: a share, a most, so many stay, one may leave a small team."""
    n = len(on_duty(p, ward, start, hours))
    together = max(min(max(int(p.cover.share * n + 1e-9), 1), p.cover.most, n - p.cover.stay), 0)
    return together * int(hours / p.cover.round_h + 1e-9)


def somebody_meets_her(p):
    """Whether anybody to be reached is on duty, with a place, at a start given or at a visit arranged."""
    times = [(w, s, p.visit_h) for st in p.stretches for s in st.starts for w in range(p.wards)]
    times += [(f.ward, f.start, f.hours) for f in p.fixed]
    return any(room(p, *t) and any(p.to_reach[i] for i in on_duty(p, *t)) for t in times)


def keeps_the_limits(p, visits):
    """Whether visits (ward, start) beside those arranged keep every limit; by simulation of the educator's days."""
    booked = sorted([(s, p.visit_h) for _, s in visits] + [(f.start, f.hours) for f in p.fixed])
    new = {s for _, s in visits}
    for (one, hours), (other, _) in pairwise(booked):
        if (one in new or other in new) and other < one + hours + p.walk_h - 1e-9:
            return False
    cost, lim = p.visit_h + p.walk_h, p.limits
    week, day, ward_day = Counter(), Counter(), Counter()
    given = Counter({2 + w: spent for w, spent in p.spent.items()})
    for w, s in visits:
        of = home(p, s).day
        week[week_of(p, of)] += cost
        day[of] += 1
        ward_day[w, of] += 1
    for f in p.fixed:
        d = int(f.start // 24)
        spent = f.hours + p.walk_h
        given[week_of(p, d)] += spent
        if day[d] and day[d] + 1 > lim.visits_a_day:
            return False
        if ward_day[f.ward, d] and ward_day[f.ward, d] + 1 > lim.visits_a_ward_day:
            return False
    if any(spent + given[w] > lim.hours_a_week + 1e-9 for w, spent in week.items()):
        return False
    if any(n > lim.visits_a_day for n in day.values()) or any(
        n > lim.visits_a_ward_day for n in ward_day.values()
    ):
        return False
    return _rested(p, visits)


def week_of(p, day):
    """The week of a day by the calendar: 5 January 2026 was a Monday."""
    return (date(2026, 1, 5) + timedelta(days=p.first_weekday + day)).isocalendar().week


def home(p, start):
    """The stretch that has this start."""
    return next((s for s in p.stretches if start in s.starts), None)


def _rested(p, visits):
    used = {home(p, s) for _, s in visits}
    arranged = {s for s in p.stretches for f in p.fixed if s.start <= f.start < s.end}
    every = used | arranged
    for time, most in ((NIGHT, p.limits.nights), (WEEKEND, p.limits.weekends)):
        if sum(s.time == time for s in every) > max(most, sum(s.time == time for s in arranged)):
            return False
    spans = [((s.start, s.end), s in arranged) for s in every]
    outside = [f for f in p.fixed if not any(s.start <= f.start < s.end for s in p.stretches)]
    spans += [((f.start, f.start + f.hours), True) for f in outside]
    for (a, held_a), (b, held_b) in combinations(spans, 2):
        first, second = sorted((a, b))
        if held_a and held_b:
            continue
        gap = second[0] - first[1]
        one_day = max(first[1], second[1]) - first[0] <= 13 and gap <= 5
        if not one_day and gap < p.limits.rest_h:
            return False
    return True


def best_of_all(p):
    """The worth of the best plan, by trying every set of visits and every way of calling people to them."""
    slots = [
        (w, s) for st in p.stretches for s in st.starts for w in range(p.wards) if on_duty(p, w, s, p.visit_h)
    ]
    best, memo = 0.0, {}
    for size in range(min(len(slots), 6) + 1):
        some = False
        for visits in combinations(slots, size):
            if keeps_the_limits(p, visits):
                some = True
                price = p.worth.hour * (p.visit_h + p.walk_h) * size
                best = max(best, _called(p, visits, memo) - price)
        if not some:
            break
    return best


def _called(p, visits, memo):
    """The best calling to these visits and the arranged ones: each person in turn takes any set of visits with room."""
    all_visits = [(w, s, p.visit_h, home(p, s).day) for w, s in visits]
    all_visits += [(f.ward, f.start, f.hours, int(f.start // 24)) for f in p.fixed]
    here = [on_duty(p, *v[:3]) for v in all_visits]
    left = tuple(room(p, *v[:3]) for v in all_visits)
    key = tuple((v[3], frozenset(h), n) for v, h, n in zip(all_visits, here, left, strict=True))
    if key not in memo:
        people = [i for i in range(p.people) if p.to_reach[i]]
        memo[key] = _turn(p, people, [v[3] for v in all_visits], here, left)
    return memo[key]


def _turn(p, people, days, here, left):
    if not people:
        return 0.0
    person, rest = people[0], people[1:]
    could = [v for v in range(len(days)) if person in here[v] and left[v] > 0]
    best = -1.0
    for size in range(min(len(could), p.worth.chances) + 1):
        for chosen in combinations(could, size):
            after = tuple(n - (v in chosen) for v, n in enumerate(left))
            value = _value(p, person, sorted(days[v] for v in chosen))
            best = max(best, value + _turn(p, rest, days, here, after))
    return best


def _value(p, person, days):
    mine = p.duties.time[p.duties.person == person]
    weight = p.worth.out_of_hours if len(mine) and not np.any(mine == WEEKDAY) else 1.0
    r = p.worth.release
    return weight * sum(r * (1 - r) ** k * 0.5 ** (d / p.worth.half_life_days) for k, d in enumerate(days))


def faults(p, plan):
    """Whatever a plan breaks, in words; empty where it keeps everything."""
    out = []
    new = [(v.ward, v.start) for v in plan.visits if v.fixed is None]
    if not keeps_the_limits(p, new):
        out.append("a limit")
    if any(home(p, s) is None for _, s in new):
        out.append("a start that was not given")
    if sorted(v.fixed for v in plan.visits if v.fixed is not None) != list(range(len(p.fixed))):
        out.append("an arranged visit")
    chances = defaultdict(list)
    for v in plan.visits:
        there = on_duty(p, v.ward, v.start, v.hours)
        if not set(v.who.tolist()) <= there or not all(p.to_reach[v.who]):
            out.append("somebody not there, or not to be reached")
        if len(v.who) > room(p, v.ward, v.start, v.hours) or len(set(v.who.tolist())) < len(v.who):
            out.append("cover")
        if v.fixed is None and (v.ward in p.closed or (v.ward, home(p, v.start).day) in p.excluded):
            out.append("a ward where no visit can be")
        for who, k in zip(v.who.tolist(), v.chance.tolist(), strict=True):
            chances[who].append(k)
    for who, told in chances.items():
        if sorted(told) != list(range(1, len(told) + 1)) or len(told) > p.worth.chances:
            out.append("chances")
        if plan.chances[who] != len(told):
            out.append("the count of chances")
    expected = sum(1 - (1 - p.worth.release) ** len(told) for told in chances.values())
    if abs(expected - plan.expected) > 1e-9 or abs(expected - sum(v.expected for v in plan.visits)) > 1e-9:
        out.append("the number expected")
    if set(plan.unreached) != {i for i in range(p.people) if p.to_reach[i] and not chances[i]}:
        out.append("who is left")
    return out
