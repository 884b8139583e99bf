"""The process of one job: `python -m browline.cli.job BOOK NUMBER`. Started by `duties.jobs`, not by hand."""

import os
import sys
from pathlib import Path


def main() -> None:
    """Open the book and carry the job out."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    from browline.store.book import open_book

    book = open_book(Path(sys.argv[1]))
    from browline.cli.job_handlers import VERBS
    from browline.services.book.jobs import run

    run(book, int(sys.argv[2]), VERBS)


if __name__ == "__main__":
    main()
