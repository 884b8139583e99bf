"""The process of one job: `python -m browline.cli.job BOOK NUMBER`. Started by the book's jobs, not by hand."""

import os
import sys
from importlib import import_module
from pathlib import Path

from browline.settings.launch import set_up_django


def main() -> None:
    """Set Django up, then load what carries the job out."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    set_up_django()
    import_module("browline.cli.job_handlers").carry_out(Path(sys.argv[1]), int(sys.argv[2]))


if __name__ == "__main__":
    main()
