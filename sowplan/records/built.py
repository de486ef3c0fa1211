"""A bed as built: what stands in it and what its shape lacks, in words and as closed slices.

The one place where these words are read, for a garden file and for ``sowplan fit`` alike.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from typing import Protocol

from sowplan.quantity import (
    QuantityError,
    Units,
    bed_m,
    distance_m,
    format_length,
    length_m,
    size_m,
)
from sowplan.records.garden import InTheWay

RIGHT = (
    'Write "30 cm x 40 cm at 1 m, 45 cm" (near corner) or "20 cm round at 10 cm, 10 cm" '
    '(middle), with its name before it if you like: "pipe 10 cm round at 20 cm, 30 cm".'
)
AWAY = 'Distances from the corner are 0 or more, such as "10 cm".'
SIZE = 'A size is more than nothing, such as "20 cm".'
ENDS = "ends"
UNNAMED = "what is in the way"


class Built(Protocol):
    """A bed of the garden file or of a plan."""

    length_m: float
    width_m: float
    edge_m: float
    keep_outs: tuple[InTheWay, ...]
    cut_m: tuple[float, ...]
    rounded_m: float


def keep_out(text: str) -> InTheWay:
    """Read what is in the way.

    ``"30 cm x 40 cm at 1 m, 45 cm"`` (its near corner) or ``"20 cm round at 10 cm, 10 cm"``
    (its middle), a name before it where it has one; places count from the bed's corner, along its
    length, then across.

    Raises
    ------
    QuantityError
        Where the text has another form.
    """
    parts = re.split(r"\s+at\s+", " ".join(text.split()), flags=re.I)
    places = re.split(r"\s*;\s*|,\s+", parts[1]) if len(parts) == 2 else []
    found = re.fullmatch(r"(\D*?)\s*((?:\bround )?[\d½¼¾⅓⅔⅛.].*)", parts[0], re.I)
    if len(places) != 2 or found is None:
        raise QuantityError(text, RIGHT)
    x, y = (distance_m(place, AWAY) for place in places)
    across = re.fullmatch(r"(.+?) (?:round|across)|round (.+)", found[2], re.I)
    if across:
        wide = size_m(across[1] or across[2], SIZE)
        half = wide / 2
        return InTheWay(found[1], x - half, y - half, wide, wide, True)
    return InTheWay(found[1], x, y, *bed_m(found[2]))


def rounded(text: str, length: float, width: float, units: Units = "metric") -> float:
    """Read the radius of rounded corners [m], or ``"ends"`` for half-round ends.

    Raises
    ------
    QuantityError
        Where the corners would be rounder than the bed is wide.
    """
    most = min(length, width) / 2
    radius = most if text.strip().casefold() == ENDS else length_m(text)
    if not 0 < radius <= most + 1e-9:
        raise QuantityError(
            text,
            "The radius is more than nothing and at most "
            f"{format_length(most, units)} here, or 'ends'.",
        )
    return min(radius, most)


def cut(text: str, length: float, width: float) -> tuple[float, float]:
    """Read the corner left out of an L [m], along and across: the one far along both sides.

    Raises
    ------
    QuantityError
        Where it is no size, or is not smaller than the bed.
    """
    long, wide = bed_m(text)
    if not (0.0 < long < length and 0.0 < wide < width):
        raise QuantityError(text, "What is cut off must be smaller than the bed.")
    return long, wide


def closed_slices(bed: Built) -> tuple[tuple[float, float, str], ...]:
    """Return the slices of a bed's length that strips across all of its width have to leave out.

    A strip keeps half a spacing inside either of its ends, so the slice of a thing is no longer
    than the thing itself. What lies within the bare edge closes nothing.

    Parameters
    ----------
    bed : Bed or PlanPlace
        The bed.

    Returns
    -------
    tuple of (start, end, label)
        In order, apart from one another; metres from the inside of the bed's edge.
    """
    inner = bed.length_m - 2 * bed.edge_m
    found: list[tuple[float, float, str]] = []
    for start, end, label in sorted(_slices(bed)):
        start, end = max(start - bed.edge_m, 0.0), min(end - bed.edge_m, inner)
        if end - start <= 1e-9:
            continue
        if found and start <= found[-1][1] + 1e-9:
            first, last, names = found[-1]
            names = names if label in names.split(" and ") else f"{names} and {label}"
            found[-1] = (first, max(last, end), names)
        else:
            found.append((start, end, label))
    return tuple(found)


def _slices(bed: Built) -> Iterator[tuple[float, float, str]]:
    for thing in bed.keep_outs:
        label = f"the {thing.label}" if thing.label else UNNAMED
        half = _half_slice(thing, bed.edge_m, bed.width_m - bed.edge_m)
        if half > 0.0:
            middle = thing.x_m + thing.length_m / 2
            yield middle - half, middle + half, label
    if bed.cut_m and bed.cut_m[1] > bed.edge_m:
        yield bed.length_m - bed.cut_m[0] - bed.edge_m, bed.length_m, "the missing corner"
    if bed.rounded_m > bed.edge_m:
        round_ = "the rounded corners"
        yield 0.0, bed.rounded_m, round_
        yield bed.length_m - bed.rounded_m, bed.length_m, round_


def _half_slice(thing: InTheWay, near: float, far: float) -> float:
    """Return half the length of what of a thing lies between two lines along the bed [m]."""
    half, middle = thing.length_m / 2, thing.y_m + thing.width_m / 2
    if thing.y_m >= far - 1e-9 or thing.y_m + thing.width_m <= near + 1e-9:
        return 0.0
    if not thing.round:
        return half
    off = max(near - middle, middle - far, 0.0)
    return math.sqrt(max(half**2 - off**2, 0.0))
