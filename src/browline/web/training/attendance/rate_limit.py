"""Wrong codes counted by address, in this process, so that the code of an open session cannot be guessed.

21⁶ codes against 20 tries in ten minutes: guessing goes on for decades. Codes that exist do not count.
"""

import threading
import time
from collections import deque

MOST, SPAN = 20, 600.0
REMEMBERED = 10_000

_wrong: dict[str, deque[float]] = {}
_lock = threading.Lock()


def blocked(address: str) -> bool:
    """Whether this address has tried too many wrong codes lately."""
    with _lock:
        return len(_recent(address)) >= MOST


def count_wrong(address: str) -> None:
    """Count a code that is no session's."""
    with _lock:
        if address not in _wrong and len(_wrong) >= REMEMBERED:
            del _wrong[next(iter(_wrong))]
        _wrong.setdefault(address, deque(maxlen=MOST)).append(time.monotonic())


def forget() -> None:
    """Start anew."""
    with _lock:
        _wrong.clear()


def _recent(address: str) -> deque[float]:
    tried = _wrong.get(address, deque())
    while tried and tried[0] < time.monotonic() - SPAN:
        tried.popleft()
    return tried
