"""What all readers of values share: what is around a value, and how a wrong one is told."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from sowplan.quantity import Units
from sowplan.records.crop import Crop
from sowplan.records.garden_file.keys import Key


@dataclass(frozen=True)
class Around:
    """What a value may depend on: the folder of the file, its units, the crops, the place."""

    folder: Path
    crops: Mapping[str, Crop]
    temperature: Literal["C", "F"] = "C"
    rain_mm: float = 1.0  # the size of the unit of rain
    units: Units = "metric"  # of what is shown
    place: tuple[float, float] | None = None  # latitude and longitude [°], where they can be read


class Wrong(Exception):
    """A value that cannot be taken: what is wrong, and the text where not all of it is."""

    def __init__(self, message: str, found: str | None = None) -> None:
        super().__init__(message)
        self.message = message
        self.found = found


def plain_number(value: Any, right: str) -> float:
    """Return a finite number from a number or a text that holds nothing else.

    Raises
    ------
    Wrong
        With ``right``, what would be right.
    """
    if isinstance(value, str):
        if re.fullmatch(r"\s*[+-]?\d{1,3}(,\d{3})+(\.\d*)?\s*", value):
            raise Wrong(f"{right} No commas between the digits.")
        try:
            value = float(value.replace(",", ".").replace("−", "-"))
        except ValueError:
            raise Wrong(right) from None
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise Wrong(right)
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise Wrong(right)
    return number


def between(value: float, key: Key, show: Callable[[float], str], hint: str = "") -> float:
    """Return the value where it lies in its key's range; raises `Wrong` otherwise."""
    low, high = key.low, key.high
    if low is not None and value < low:
        least = "above 0" if low > 0 and value <= 0 else f"at least {show(low)}"
        raise Wrong(f"{key.name} must be {least}, such as {key.example}.{hint}")
    if high is not None and value > high:
        raise Wrong(f"{key.name} must be at most {show(high)}, such as {key.example}.{hint}")
    return value
