"""What a bed's strips are called in a map of it: a name on each, or a letter with a key below.

A name is never cut. That of a strip too narrow for it stands below the bed, a tick leading to it;
where there is no room for all of these side by side, letters stand there, and a key below them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import product

import numpy as np

from sowplan.export.pictures import svg
from sowplan.export.pictures.hatch import Box
from sowplan.export.pictures.lettering import width as text_width
from sowplan.export.pictures.style import SMALL, Palette

LINE = 13.0
CROWDED = 200  # plants of a strip among which no name finds a place
SHIFTS = 8  # steps to either side in which a name looks for a place clear of plants
LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"  # without those that look like figures
LEAST_DEEP, ENDS = 12.5, 10.0  # px across a strip for a line of words; at both its ends together
LETTER, TICK, INSIDE = 10.5, 6.0, 4.0
"""From letter to letter at least; a tick's length below the bed's side, and within it [px]."""
ROW = TICK + 12.0  # ticks and letters [px]
ENTRY_GAP, AFTER_LETTER = 11.0, 4.0
REACH = 3.0  # so far a name goes on beyond its tick, to either side
Strip = tuple[str, int, float, float]
"""Name, number of plants, begin along the bed and length [px]."""


def plate(
    name: str, plants: int, strip: Box, spots: Sequence[tuple[float, float]], colours: Palette
) -> list[str]:
    """Return a name on paper over a strip: level where it fits, else upright or on two lines.

    The number of plants is left out where there is no room for it. It stands where it hides fewest
    of the plants, which are at ``spots``, as near the middle as that allows. Nothing where the name
    has no room whole.
    """
    *_, wide, high = strip
    best: tuple[int, bool, tuple[str, ...], tuple[float, float], tuple[float, float]] | None = None
    for turned, lines in _settings(name, plants, wide, high):
        size = _plate_size(lines, wide if turned else high)
        at, hidden = _clearest(strip, size[::-1] if turned else size, spots)
        if best is None or hidden < best[0]:
            best = (hidden, turned, lines, at, size)
    if best is None:
        return []
    _, turned, lines, (x, y), (long, deep) = best
    paper = svg.rect(
        -long / 2, -deep / 2, long, deep, fill=colours.paper, fill_opacity=0.92, rx=1.5
    )
    first = 4 - (len(lines) - 1) * LINE / 2
    labels = [
        svg.text(0, first + n * LINE, line, SMALL, text_anchor="middle")
        for n, line in enumerate(lines)
    ]
    turn = " rotate(-90)" if turned else ""
    middle = f"translate({svg.number(x)} {svg.number(y)}){turn}"
    return [svg.group([paper, *labels], transform=middle)]


def _settings(
    name: str, plants: int, wide: float, high: float
) -> list[tuple[bool, tuple[str, ...]]]:
    """Return the ways to set a name whole on a strip of a size [px]: upright or not, its lines.

    With the number of plants; where none of these fits, without.
    """
    for words in (f"{name} {plants}", name):
        found = []
        for turned, count in product((False, True), (1, 2)):
            long, deep = (high, wide) if turned else (wide, high)
            lines, longest = _broken(words, count)
            least = LEAST_DEEP if count == 1 else LINE * count + 2
            if lines and deep >= least and longest <= long - ENDS:
                found.append((turned, lines))
        if found:
            return found
    return []


@lru_cache(maxsize=4096)  # how large beds can be drawn is tried in many sizes
def _broken(words: str, count: int) -> tuple[tuple[str, ...], float]:
    """Return the words on one line or two, and the longest [px].

    Nothing where they cannot be parted.
    """
    if count == 1:
        return (words,), _longest((words,))
    gaps = [n for n, letter in enumerate(words) if letter == " "]
    halves = [(words[:gap], words[gap + 1 :]) for gap in gaps]
    lines = min(halves, key=_longest, default=())
    return lines, _longest(lines) if lines else 0.0


def _longest(lines: Sequence[str]) -> float:
    return max(text_width(line, SMALL) for line in lines)


def _plate_size(lines: Sequence[str], room: float) -> tuple[float, float]:
    return _longest(lines) + 7, min(LINE * len(lines) + 2, room - 3)  # the strip shows beside it


def _clearest(
    strip: Box, size: tuple[float, float], spots: Sequence[tuple[float, float]]
) -> tuple[tuple[float, float], int]:
    """Return the middle of a plate of a size in a strip where it hides fewest spots, and how many.

    All in pixels.
    """
    left, top, wide, high = strip
    if len(spots) > CROWDED:
        return (left + wide / 2, top + high / 2), 0
    steps = np.arange(-SHIFTS, SHIFTS + 1) / SHIFTS
    room = [max((all_ - own - 4) / 2, 0.0) for all_, own in zip((wide, high), size, strict=True)]
    aside, along = (steps * one if one > 0 else np.zeros(1) for one in room)
    x, y = left + wide / 2 + aside, top + high / 2 + along
    at = np.array(spots, float).reshape(-1, 2)
    over_x = np.abs(at[:, 0] - x[:, None]) < size[0] / 2 + 1.5
    over_y = np.abs(at[:, 1] - y[:, None]) < size[1] / 2 + 1.5
    hidden = over_x.astype(float) @ over_y.T  # of each middle, how many are under both ways
    far = np.round(np.abs(aside)[:, None] + np.abs(along), 3)
    best = int(np.lexsort((far.ravel(), hidden.ravel()))[0])
    n, m = divmod(best, len(y))
    return (float(x[n]), float(y[m])), int(hidden[n, m])


# ---- letters, and the key below them


@dataclass(frozen=True)
class Key:
    """What stands below a bed for the strips not named in it; sizes in px from the bed's end.

    ``letters``, or whole names, have their words, where the strip's middle is and where the middle
    of the words is; ``lines`` have entries of letter, words and where they begin.
    """

    letters: tuple[tuple[str, float, float], ...] = ()
    lines: tuple[tuple[tuple[str, str, float], ...], ...] = ()
    wide: float = 0.0

    @property
    def high(self) -> float:
        """Return how tall letters and key are together; 0 where there are none."""
        return ROW + len(self.lines) * LINE if self.letters else 0.0


def key_of(strips: Sequence[Strip], high: float, wide: float) -> Key:
    """Return the key of a bed's strips that have no room for their names.

    Parameters
    ----------
    strips : sequence of Strip
        Of the bed on a day.
    high : float
        Of each strip across the bed [px].
    wide : float
        The bed's length, which the key keeps within where its entries can [px].
    """
    small = sorted(
        (at, long, f"{name} {plants}")
        for name, plants, at, long in strips
        if not _settings(name, plants, long, high)
    )
    if not small:
        return Key()
    middles = [at + long / 2 for at, long, _ in small]
    beside = side_by_side(middles, [text_width(words, SMALL) for *_, words in small], wide)
    if beside:
        told = zip((words for *_, words in small), middles, beside, strict=True)
        return Key(tuple(told), (), wide)
    names = [LETTERS[n % len(LETTERS)] * (1 + n // len(LETTERS)) for n in range(len(small))]
    step = max(LETTER, *(text_width(name, SMALL, True) + 3 for name in names))
    letters = tuple(zip(names, middles, apart(middles, step, wide), strict=True))
    lines: list[list[tuple[str, str, float]]] = [[]]
    at = reach = 0.0
    for name, (*_, words) in zip(names, small, strict=True):
        long = text_width(name, SMALL, True) + AFTER_LETTER + text_width(words, SMALL)
        if lines[-1] and at + long > wide:
            lines.append([])
            at = 0.0
        lines[-1].append((name, words, at))
        reach = max(reach, at + long)
        at += long + ENTRY_GAP
    return Key(letters, tuple(map(tuple, lines)), reach)


def side_by_side(middles: Sequence[float], widths: Sequence[float], wide: float) -> list[float]:
    """Return where the middles of names are, each above or below its strip's; empty without room.

    Parameters
    ----------
    middles : sequence of float
        Of the strips, in order [px].
    widths : sequence of float
        Of the names [px].
    wide : float
        They keep within 0 to this [px].
    """
    left: list[float] = []  # as far to the left as may be
    for middle, long in zip(middles, widths, strict=True):
        free = left[-1] + widths[len(left) - 1] + ENTRY_GAP if left else 0.0
        left.append(max(free, middle + REACH - long, 0.0))
        if left[-1] > middle - REACH or left[-1] + long > wide:
            return []
    limit = wide
    for n in reversed(range(len(left))):
        left[n] = max(left[n], min(middles[n] - widths[n] / 2, limit - widths[n]))
        limit = left[n] - ENTRY_GAP
    return [at + long / 2 for at, long in zip(left, widths, strict=True)]


def apart(middles: Sequence[float], step: float, wide: float) -> list[float]:
    """Return where letters stand so that none touches another, each as near its own as may be.

    Parameters
    ----------
    middles : sequence of float
        Where each would stand by itself, in order [px].
    step : float
        From one to the next at least [px]; less where they are too many for the room.
    wide : float
        They keep within 0 to this [px].
    """
    step = min(step, wide / len(middles))
    groups: list[tuple[float, int]] = []  # sum and number of those that stand shoulder to shoulder
    for n, middle in enumerate(middles):
        total, many = middle - n * step, 1
        while groups and groups[-1][0] / groups[-1][1] > total / many:
            total, many = total + groups[-1][0], many + groups[-1][1]
            groups.pop()
        groups.append((total, many))
    evened = [total / many for total, many in groups for _ in range(many)]
    least, most = step / 2, wide - step * (len(middles) - 0.5)
    return [min(max(one, least), most) + n * step for n, one in enumerate(evened)]


def key_below(key: Key, left: float, top: float, colours: Palette) -> list[str]:
    """Return a key's letters, the ticks that lead to them, and its lines.

    ``left`` and ``top`` are where the bed's near side begins [px].
    """
    if not key.letters:
        return []
    bold = {"font_weight": 600}
    ticks, parts = "", []
    for name, middle, at in key.letters:
        foot = at if key.lines else middle  # a name goes on to both sides of its tick
        ticks += f"M{svg.number(left + middle)} {svg.number(top - INSIDE)}V{svg.number(top + 1.5)}"
        ticks += f"L{svg.number(left + foot)} {svg.number(top + TICK)}"
        look = bold if key.lines else {}
        parts.append(svg.text(left + at, top + ROW - 3, name, SMALL, text_anchor="middle", **look))
    look = {"stroke": colours.ink, "stroke_width": 0.8, "fill": "none"}
    parts.append(svg.element("path", None, d=ticks, **look))
    for n, entries in enumerate(key.lines, start=1):
        y = top + ROW - 2 + n * LINE
        for name, words, at in entries:
            after = at + text_width(name, SMALL, True) + AFTER_LETTER
            parts.append(svg.text(left + at, y, name, SMALL, **bold))
            parts.append(svg.text(left + after, y, words, SMALL))
    return parts
