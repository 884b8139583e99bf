"""R's lme4 and glmmTMB on the ordinary crossed model, as tools/crossed_timing.R fits and times it."""

import os
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path

TOOL = Path(__file__).parents[2] / "tools" / "crossed_timing.R"
SETTINGS = {
    "lme4": "default optimiser (nloptwrap BOBYQA, xtol = ftol = 1e-8), no derivative check afterwards",
    "glmmTMB": "default optimiser (nlminb), no standard errors",
}


@dataclass(frozen=True)
class Peer:
    """`seconds` inside the fit, `cpu` of all threads; `criterion` -2 log REML; `sds` by name, °C; which BLAS R had."""

    version: str
    blas: str
    seconds: float
    cpu: float
    criterion: float
    sds: dict[str, float]


def installed(package: str) -> bool:
    """Whether R and the package are here."""
    ask = f'quit(status = !requireNamespace("{package}", quietly = TRUE))'
    return shutil.which("Rscript") is not None and subprocess.run(["Rscript", "-e", ask]).returncode == 0


def peer(package: str, folder: Path, blas: str) -> Peer:
    """The package's fit of a folder of columns; `blas`: libraries R is to load first, "" for those it has."""
    variables = {**os.environ, "OPENBLAS_NUM_THREADS": "1"} | ({"LD_PRELOAD": blas} if blas else {})
    command = ["Rscript", str(TOOL), package, str(folder)]
    said = subprocess.run(command, capture_output=True, text=True, check=True, env=variables).stdout
    lines = dict(line.split() for line in said.splitlines())
    version, used = lines.pop("version"), lines.pop("blas")
    numbers = {key: float(value) for key, value in lines.items()}
    seconds, cpu, criterion = (numbers.pop(key) for key in ("seconds", "cpu", "criterion"))
    return Peer(version, used, seconds, cpu, criterion, numbers)
