"""Opening the pages waits for no library that only the work behind them needs."""

import subprocess
import sys

import pytest

HEAVY = {"scipy", "duckdb", "altair", "typst"}
SET_UP = "import os; os.environ['DJANGO_SETTINGS_MODULE'] = 'browline.settings.base'; import django; django.setup()"


@pytest.mark.parametrize("opened", [
    "browline.audit",
    "browline.audit.overtime",
    "browline.web.readings.wards.views",
    "browline.web.urls",
])  # fmt: skip
def test_nothing_heavy_is_imported(opened):
    code = f"{SET_UP}; import {opened}, sys; print(*sorted({HEAVY} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert done.stdout.split() == []
