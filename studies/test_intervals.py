"""How often the 95 % interval of an honest scanner holds its own offset, and the chance of a false flag among them.

Run: make study. Eight invented hospitals of the small size without planted faults; scanners with more than 100
readings. Charts show scanners against each other only, so the scanners' common part is taken off first.
"""

import numpy as np

SEEDS = range(1, 9)


def test_intervals_of_honest_scanners_hold(capsys):
    from browline.synthetic import invent, readings_of
    from browline.variation import Problem, findings, solve

    held, wide, flags = [], [], 0
    for seed in SEEDS:
        hospital = invent("small", seed=seed, faults=())
        latent, names = hospital.latent, [str(x) for x in hospital.house.fleet.id]
        added = latent.instrument_part + latent.lens_part
        result = solve(Problem.from_readings(readings_of(hospital)))
        flags += len([f for f in findings(result) if f.subject_type == "instrument"])
        effects = [e for e in result.instruments if e.name[0] == "F" and e.n > 100 and not e.changed]
        true = np.array([added[latent.instrument == names.index(e.name)].mean() for e in effects])
        half = np.array([e.high_c - e.offset_c for e in effects])
        off = np.array([e.offset_c for e in effects]) - true
        held += list(np.abs(off - np.average(off, weights=1 / half**2)) <= half)
        wide += list(half)
    with capsys.disabled():
        print(
            f"\n{sum(held)} of {len(held)} intervals held ({np.mean(held):.1%}); median half-width "
            f"{np.median(wide):.3f} °C; {flags} flags of honest instruments in {len(SEEDS)} hospitals"
        )
    assert 0.93 <= np.mean(held) <= 1.0
