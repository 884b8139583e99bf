"""The priors as they come with the program: published values where there are any, our judgement where not.

Published: offsets, slopes and spreads against the core of forehead scans (Geijer 2016: febrile -0.31, afebrile +0.07,
one difference has sd 0.49 °C), of mouth, armpit and ear (Lawson 2007; Carvalho 2024), of the rectum (resting +0.19
with sd 0.17, Ravanelli & Jay 2020; 0.8 °C behind the oesophagus at the end of exercise, Gagnon 2010), and resting
levels (Geneva 2019; Mackowiak 1992). Sizes of damp, cover, heat, cold and slips were not found: their directions are
common practice, their sizes and odds our judgement, wide on purpose.
"""

from types import MappingProxyType

from browline.questioned.priors import Course, Kind, Level, Priors, Shift, Site

SCAN, EAR, CONTACT, PROBE = "forehead-scan", "ear", "contact", "probe"

COVERED = Shift("covered", 0.03, 0.6, 0.4, answer="covered")
DAMP = Shift("damp", 0.05, -0.8, 0.5, answer="damp")
HEAT = Shift("heat", 0.01, 1.0, 0.6, answer="heat")
COLD = Shift("cold", 0.015, -1.0, 0.6, answer="cold-in")
# A site that reads otherwise than it usually does for no reason that was asked about, in every scan alike.
OTHERWISE = Shift("site", 0.01, 0.0, 0.8)
COLD_DRINK = Shift("cold-drink", 0.02, -1.0, 0.7, answer="cold-drink")
HOT_DRINK = Shift("hot-drink", 0.02, 0.9, 0.6, answer="hot-drink")
LOW_SLIP = Shift("technique", 0.05, -0.5, 0.4)

NO_FIGURE = "no published figure was found for this site with an artery scanner; our judgement"

SITES = MappingProxyType(
    {
        "temporal": Site(
            0.04, 0.8, 0.27, 0.22, lags=((2.0, 1.0),), kind=SCAN, slip=LOW_SLIP,
            conditions=(DAMP, COVERED, HEAT, COLD, OTHERWISE),
            source="Geijer 2016: febrile -0.31, afebrile +0.07 against the core; one difference has sd 0.49 °C",
        ),
        "behind-ear": Site(
            0.0, 0.8, 0.3, 0.25, lags=((2.0, 1.0),), kind=SCAN, slip=LOW_SLIP,
            conditions=(COVERED, HEAT, COLD, OTHERWISE), source=NO_FIGURE
        ),
        "femoral": Site(
            -0.1, 0.8, 0.35, 0.25, lags=((3.0, 1.0),), kind=SCAN, slip=LOW_SLIP,
            conditions=(COVERED, HEAT, OTHERWISE), source=NO_FIGURE,
        ),
        "chest-side": Site(
            -0.2, 0.8, 0.4, 0.3, lags=((4.0, 1.0),), kind=SCAN, slip=LOW_SLIP,
            conditions=(COVERED, HEAT, OTHERWISE), source=NO_FIGURE,
        ),
        "oral": Site(
            -0.25, 1.0, 0.25, 0.18, lags=((3.0, 1.0),), kind=CONTACT, slip=Shift("technique", 0.06, -0.5, 0.4),
            conditions=(COLD_DRINK, HOT_DRINK, OTHERWISE),
            source="Carvalho 2024: -0.30 (sd 0.37) against blood; Lawson 2007: -0.09 (sd 0.43)",
        ),
        "rectal": Site(
            0.15, 1.0, 0.12, 0.08, lags=((12.0, 0.2), (30.0, 0.35), (75.0, 0.25), (180.0, 0.2)), kind=CONTACT,
            slip=Shift("technique", 0.03, -0.3, 0.2), conditions=(),
            source="Ravanelli & Jay 2020, resting: +0.19 (sd 0.17) against the oesophagus; lags: Gagnon 2010 and "
            "common practice (hours in adults when the temperature changes fast)",
        ),
        "axillary": Site(
            -0.4, 1.0, 0.35, 0.25, lags=((8.0, 1.0),), kind=CONTACT, slip=Shift("technique", 0.1, -0.6, 0.5),
            conditions=(
                Shift("cold", 0.02, -0.8, 0.5, answer="cold-in"),
                Shift("covered", 0.02, 0.4, 0.3, answer="heat"), OTHERWISE,
            ),
            source="Carvalho 2024: -0.42 (sd 0.59) against blood; Lawson 2007: -0.23 (sd 0.44)",
        ),
        "tympanic": Site(
            -0.15, 1.0, 0.3, 0.22, lags=((2.0, 1.0),), kind=EAR, slip=Shift("technique", 0.06, -0.4, 0.3),
            conditions=(
                Shift("covered", 0.03, 0.4, 0.3, answer="covered"),
                Shift("cold", 0.02, -0.7, 0.5, answer="cold-in"), OTHERWISE,
            ),
            source="Carvalho 2024: -0.21 (sd 0.44) against blood",
        ),
        "bladder": Site(
            0.0, 1.0, 0.12, 0.06, lags=((10.0, 0.7), (25.0, 0.3)), kind=PROBE,
            slip=Shift("technique", 0.02, -0.6, 0.5), conditions=(),
            source="reference of intensive care (SCCM and IDSA 2023); slower when little urine flows: common practice",
        ),
        "oesophageal": Site(
            0.0, 1.0, 0.08, 0.06, lags=((1.5, 1.0),), kind=PROBE, slip=Shift("technique", 0.02, -0.6, 0.5),
            conditions=(),
            source="reference of intensive care (SCCM and IDSA 2023)",
        ),
        "nasopharyngeal": Site(
            0.0, 1.0, 0.1, 0.08, lags=((2.0, 1.0),), kind=PROBE, slip=Shift("technique", 0.03, -0.6, 0.5),
            conditions=(),
            source="a core site; our judgement of its spread",
        ),
        "intravascular": Site(
            0.0, 1.0, 0.05, 0.05, lags=((0.5, 1.0),), kind=PROBE, slip=Shift("technique", 0.01, -0.5, 0.5),
            conditions=(),
            source="the reference of published comparisons",
        ),
    }
)  # fmt: skip

KINDS = MappingProxyType(
    {
        SCAN: Kind(
            0.1,
            (
                Shift("dirty-lens", 0.05, -0.5, 0.3, answer="dirty-lens"),
                Shift("other-mode", 0.03, 0.0, 0.4, answer="other-mode"),
            ),
        ),
        EAR: Kind(
            0.12,
            (
                Shift("dirty-lens", 0.05, -0.3, 0.2, answer="dirty-lens"),
                Shift("other-mode", 0.02, 0.0, 0.4, answer="other-mode"),
            ),
        ),
        CONTACT: Kind(0.06, (Shift("out-of-adjustment", 0.02, 0.0, 0.4),)),
        PROBE: Kind(0.05, (Shift("out-of-adjustment", 0.01, 0.0, 0.4),)),
    }
)

COURSE = Course(
    levels=(
        Level("usual", 0.66, 36.95, 0.35),
        Level("fever", 0.27, 38.5, 0.7),
        Level("cold", 0.07, 35.2, 0.8),
    ),
    wander_sd_c=0.25,
    wander_hours=10.0,
    surge_odds=0.25,
    surge_sd_c_per_h=1.5,
    surge_hours=1.5,
    onsets=(15.0, 45.0, 120.0, 300.0),
    source="Resting level: Geneva 2019 (rectal 37.04, less its offset). How often a questioned patient is febrile or "
    "cold, and how fast a core moves: our judgement.",
)


def published() -> Priors:
    """The priors as they come with the program; see the sources of each."""
    return Priors(
        course=COURSE,
        sites=SITES,
        kinds=KINDS,
        gross=Shift("gross", 0.004, 0.0, 2.0),
        infant_lags=((8.0, 0.25), (20.0, 0.4), (45.0, 0.25), (90.0, 0.1)),
        stays_minutes=60.0,
        yes=15.0,
        no=0.03,
        older_c=-0.2,
        instruments=MappingProxyType({}),
    )


def intensive(priors: Priors) -> Priors:
    """The same for intensive care, where a forehead follows the core less: +0.66, -0.35, -0.90 by band.

    Source: Stelfox 2010, 14 patients, 736 pairs of forehead and bladder; the line through its three bands.
    """
    from dataclasses import replace

    scan = replace(
        priors.sites["temporal"], offset_c=-0.15, slope=0.54, own_sd_c=0.35,
        source="Stelfox 2010, intensive care: +0.66 under 36, -0.35 between, -0.90 from 38.3 °C, against the bladder",
    )  # fmt: skip
    return replace(priors, sites=MappingProxyType({**priors.sites, "temporal": scan}))
