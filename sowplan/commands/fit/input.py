"""What ``sowplan fit`` is asked, read from words: the bed's shape, what is in the way, spacings."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from sowplan.commands.named import crop_named
from sowplan.problem import Exit, Problem
from sowplan.quantity import QuantityError, Units, bed_m, distance_m, size_m

if TYPE_CHECKING:
    from sowplan.bed.outlines import Outline
    from sowplan.bed.things import KeepOut
    from sowplan.records.crop import Crop

ANY = "any"
"""What ``--between`` says for whichever crop there is time and room for."""
_IMPERIAL = re.compile(r"\d\s*(?:ft|foot|feet|in|inch|inches|yd|yards?)\b|['\"′″]", re.I)


@dataclass(frozen=True)
class Shape:
    """The bed: its two sides [m] and, where it is no rectangle, its outline."""

    length_m: float
    width_m: float
    outline: Outline | None = None
    words: str = ""  # "round" or "L-shaped", for the heading


def is_imperial(*texts: str | None) -> bool:
    """Return whether lengths were given in feet or inches."""
    return any(text is not None and _IMPERIAL.search(text) for text in texts)


class Asked:
    """Reads options one by one and keeps what is wrong with them, all of it."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []

    def read(self, option: str, text: str | None, how: Callable[[str], Any]) -> Any:
        """Return what ``how`` makes of an option's text; None where it is missing or wrong."""
        if text is None:
            return None
        try:
            return how(text)
        except QuantityError as error:
            self._wrong(option, text, error.message)
        except ValueError as error:
            message = str(error)
            self._wrong(option, text, message[:1].upper() + message[1:] + ".")
        return None

    def _wrong(self, option: str, text: str, message: str) -> None:
        self.problems.append(Problem("", None, option, text, message, Exit.USAGE))


def spacing(text: str) -> float:
    """Read a spacing above zero [m]."""
    return size_m(text, 'A spacing is more than nothing, such as "25 cm".')


def edge(text: str) -> float:
    """Read an edge [m]: 0 needs no unit."""
    return distance_m(text, 'An edge is 0 (leaves lean out) or more, such as "10 cm".')


def shape(text: str) -> Shape:
    """Read a bed: ``"2.4 m x 1.2 m"``, or ``"60 cm round"`` for a tub."""
    tidy = " ".join(text.split())
    across = re.fullmatch(r"(.+?) (?:round|across)|round (.+)", tidy, re.I)
    if across:
        from sowplan.bed.outlines import tub

        diameter = spacing(across[1] or across[2])
        return Shape(diameter, diameter, tub(diameter), "round")
    length, width = bed_m(text)
    return Shape(length, width)


def rounded(text: str, bed: Shape, units: Units = "metric") -> Shape:
    """Give a bed rounded corners of the radius read, or ``"ends"`` for half-round ends."""
    from sowplan.bed.outlines import Rounded
    from sowplan.records import built

    radius = built.rounded(text, bed.length_m, bed.width_m, units)
    most = min(bed.length_m, bed.width_m) / 2
    words = "round-ended" if radius >= most - 1e-9 else "round-cornered"
    outline = Rounded(bed.length_m, bed.width_m, radius)
    return Shape(bed.length_m, bed.width_m, outline, words)


def cut(text: str, bed: Shape) -> Shape:
    """Make an L of a bed: a corner of the size read is left out."""
    from sowplan.bed.outlines import l_shape
    from sowplan.records import built

    outline = l_shape(bed.length_m, bed.width_m, *built.cut(text, bed.length_m, bed.width_m))
    return Shape(bed.length_m, bed.width_m, outline, "L-shaped")


def keep_out(text: str) -> KeepOut:
    """Read what is in the way, as a garden file has it (`sowplan.records.built`)."""
    from sowplan.bed.as_built import keep_out_of
    from sowplan.records import built

    return keep_out_of(built.keep_out(text))


def read_between(text: str | None, known: dict[str, Crop]) -> tuple[Any, list[Problem]]:
    """Read ``--between``: a crop, or ``"any"``; return it and what is wrong with it."""
    if text is None:
        return None, []
    if text.strip().casefold() == ANY:
        return ANY, []
    crop = crop_named(text.strip(), known)
    if isinstance(crop, Problem):
        return None, [Problem("", None, "--between", text, crop.message, crop.exit)]
    return crop, []


def read_on(text: str | None) -> tuple[date | None, list[Problem]]:
    """Read ``--on``: the day the slow crop goes in."""
    if text is None:
        return None, []
    from sowplan.records.garden_file.values.months import read_day

    try:
        return read_day(text), []
    except ValueError as error:
        message = f"Write the day it is planted out, such as 2026-10-10. {error}".strip()
        return None, [Problem("", None, "--on", text, message, Exit.USAGE)]
