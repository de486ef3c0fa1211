"""One value of a garden file: the reader of each kind.

A reader takes the value as TOML gives it, its key and what is around (`Around`), and returns the
value in the units of the records or raises `Wrong`.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from sowplan.records import value_numbers, value_quantities, value_words
from sowplan.records.garden_keys import Key
from sowplan.records.value_rules import Around, Wrong

__all__ = ["READERS", "Around", "Wrong"]

READERS: dict[str, Callable[[Any, Key, Around], Any]] = {
    kind: getattr(module, kind)
    for module, kinds in (
        (value_numbers, "number integer hours percent latitude longitude bearing horizon"),
        (value_quantities, "length elevation volume temperature temperatures rains"),
        (value_words, "text choice path date month_day weekday weekdays timezone"),
        (value_words, "crop family amount per"),
    )
    for kind in kinds.split()
}
