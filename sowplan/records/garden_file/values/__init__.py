"""One value of a garden file: the reader of each kind.

A reader takes the value as TOML gives it, its key and what is around (`Around`), and returns the
value in the units of the records or raises `Wrong`.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from sowplan.records.garden_file.keys import Key
from sowplan.records.garden_file.values import (
    absences,
    amounts,
    built,
    numbers,
    quantities,
    words,
)
from sowplan.records.garden_file.values.rules import Around, Wrong

__all__ = ["READERS", "Around", "Wrong"]

READERS: dict[str, Callable[[Any, Key, Around], Any]] = {
    kind: getattr(module, kind)
    for module, kinds in (
        (numbers, "number integer hours percent latitude longitude bearing horizon"),
        (quantities, "length elevation volume temperature temperatures rains"),
        (built, "keep_outs corner rounded"),
        (absences, "absences"),
        (words, "text names choice yes_or_no path date frost_day weekday weekdays timezone"),
        (words, "crop family families rest"),
        (amounts, "amount per"),
    )
    for kind in kinds.split()
}
