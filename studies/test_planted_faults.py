"""How often planted faults of 0.35 °C or more with 300 readings or more are found, and how many flags are false.

Run: make study. Twelve invented hospitals of the small size, each imported and reviewed as the demonstration does.
"""

import os
from datetime import UTC, datetime

SEEDS = range(1, 13)


def test_planted_faults_are_found_with_few_false_flags(tmp_path):
    from browline.services.demo import demonstrate
    from browline.store.book import open_book

    now = datetime.now(UTC)
    os.environ["BROWLINE_KEYS"] = str(tmp_path / "keys")
    planted = found = flags = false = 0
    print("\nseed  planted  found  flags  false  missed")
    for seed in SEEDS:
        shown = demonstrate(
            open_book(tmp_path / f"book{seed}"), size="small", seed=seed, now=now, progress=lambda *_: None
        )
        kinds = ("instrument-offset", "instrument-drift", "cannot-separate", "instrument-unit")
        made = [
            f
            for f in shown.review.result["findings"]
            if f["kind"] in kinds and f["subject"]["type"] == "instrument"
        ]
        hit = sum(p.found for p in shown.planted)
        missed = ", ".join(
            f"{p.instrument} {p.kind} {p.against_c:+.2f}" for p in shown.planted if not p.found
        )
        print(
            f"{seed:4}  {len(shown.planted):7}  {hit:5}  {len(made):5}  {len(shown.false_flags):5}  "
            f"{missed or '-'} {', '.join(shown.false_flags)}"
        )
        planted, found = planted + len(shown.planted), found + hit
        flags, false = flags + len(made), false + len(shown.false_flags)
    print(f"all   {planted:7}  {found:5}  {flags:5}  {false:5}")
    assert found >= 0.9 * planted
    assert false <= 0.1 * flags
