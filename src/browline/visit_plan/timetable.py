"""When each visit is: its window gets one of its starts, the window that closes first being served first.

Where Hall's condition holds, serving the earliest close first always finds a start for everyone (the starts of a
window are a run, so the graph of windows and starts is convex; Glover 1967).
"""

from collections import defaultdict
from collections.abc import Sequence

from browline.visit_plan.windows import FIXED, Window, Windows


def timetable(windows: Windows, chosen: Sequence[Window]) -> list[float]:
    """float[visits]: the start of each, in hours. Early starts are taken first."""
    by_stretch: dict[int, list[int]] = defaultdict(list)
    for number, window in enumerate(chosen):
        by_stretch[window.stretch].append(number)
    out = [window.start for window in chosen]
    for stretch, visits in by_stretch.items():
        if stretch != FIXED:
            for number, place in _places([(chosen[v].first, chosen[v].last, v) for v in visits]).items():
                out[number] = windows.starts[stretch][place]
    return out


def _places(visits: list[tuple[int, int, int]]) -> dict[int, int]:
    """visit -> place in the stretch."""
    waiting, out, place = sorted(visits), {}, 0
    while waiting:
        place = max(place, waiting[0][0])
        open_now = [visit for visit in waiting if visit[0] <= place]
        if not open_now:
            continue
        served = min(open_now, key=lambda visit: (visit[1], visit))
        if served[1] < place:
            raise ArithmeticError("two visits want one start; the limits should have kept them apart")
        out[served[2]] = place
        waiting.remove(served)
        place += 1
    return out
