"""Which plantings share a line of the season picture: none overlaps, every label has room."""

from __future__ import annotations

from dataclasses import dataclass

from sowplan.export.pictures.lettering import width
from sowplan.export.pictures.scale import Scale
from sowplan.export.pictures.standing import gone
from sowplan.export.pictures.style import SMALL
from sowplan.season.plan import Planting

GAP = 3.0


@dataclass(frozen=True)
class Bar:
    """A planting on the axis [px]: its place taken from ``left`` to ``right``, label ``words``."""

    planting: Planting
    words: str
    sown: float
    left: float
    right: float
    reach: float  # right end of bar and label, whichever is further


def bar(planting: Planting, name: str, scale: Scale) -> Bar:
    """Return a planting's bar; the label spills over its end where the bar is short."""
    left, right = scale.x(planting.occupies_from), scale.x(gone(planting))
    words = f"{name} {planting.plants}"
    room = right - left - 8
    if width(words, SMALL) > room:
        words = name
    reach = max(right, left + 5 + width(words, SMALL) * 1.04)
    if reach > scale.right:  # a label at the season's end stands left of it, still on its bar
        reach = scale.right
    return Bar(planting, words, scale.x(planting.sow), left, right, reach)


def lanes(bars: list[Bar]) -> list[list[Bar]]:
    """Deal bars onto as few lanes as hold them, first come first served.

    Two bars share a lane where neither bars with labels nor raising lines overlap. Lanes are
    given in the order in which their plantings stand along the bed.
    """
    dealt: list[list[Bar]] = []
    for one in sorted(bars, key=lambda b: (b.left, b.sown, b.planting.id)):
        for lane in dealt:
            last = lane[-1]
            raised = [b for b in lane if b.planting.tray]
            clear = not one.planting.tray or all(b.left <= one.sown for b in raised)
            if last.reach + GAP <= one.left + 0.01 and clear:
                lane.append(one)
                break
            if last.right <= one.left + 0.01 and last.reach <= last.right + 0.01 and clear:
                lane.append(one)
                break
        else:
            dealt.append([one])
    return sorted(dealt, key=_along)


def _along(lane: list[Bar]) -> tuple[float, float]:
    """Return how far along the bed a lane's plantings begin, on average."""
    starts = [(b.planting.strip_start_m, min(b.planting.slots, default=0)) for b in lane]
    return (
        sum(start + slot for start, slot in starts) / len(starts),
        lane[0].left,
    )
