"""A progress bar on a terminal, and nothing where the output is not one."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def bar(title: str) -> Iterator[Callable[[int, int, str], None]]:
    """A bar titled `title`; call what it gives with (done, total, message); total 0 means not known."""
    from rich.console import Console
    from rich.progress import BarColumn, Progress, SpinnerColumn, TextColumn, TimeElapsedColumn

    console = Console(stderr=True)
    columns = (SpinnerColumn(), TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn())
    with Progress(*columns, console=console, transient=True, disable=not console.is_terminal) as progress:
        task = progress.add_task(title, total=None)

        def tell(done: int, total: int, message: str) -> None:
            progress.update(task, completed=done, total=total or None, description=f"{title}: {message}")

        yield tell
