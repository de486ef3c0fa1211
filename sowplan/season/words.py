"""What sentences need: names in lists, what is planted of a crop, whether a year has to be told."""

from __future__ import annotations

from calendar import isleap
from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sowplan.records.crop import Crop
    from sowplan.season.plan import PlanCrop

PROPAGULES: tuple[tuple[str, str], ...] = (
    ("Solanum tuberosum", "seed tuber"),
    ("Allium sativum", "clove"),
    ("Allium cepa (Aggregatum", "small bulb"),
    ("Ipomoea batatas", "slip"),
)
"""What is planted where it is no seed, by the beginning of the botanical name."""
SEED = "seed"
LEAP = (2, 29)


def propagule(crop: Crop | PlanCrop) -> str:
    """Return what is sown or planted, in the singular: ``"seed"``, ``"clove"``."""
    if crop.key.endswith("-sets"):
        return "set"
    return next((noun for name, noun in PROPAGULES if crop.botanical_name.startswith(name)), SEED)


def sown_word(crop: Crop | PlanCrop) -> str:
    """Return ``"sown"``, or ``"planted"`` of cloves and the like."""
    return "sown" if propagule(crop) == SEED else "planted"


def in_list(name: str) -> str:
    """Return a name fit for a list: ``"Bulb onion, long-day"`` as ``"Bulb onion (long-day)"``."""
    head, comma, rest = name.partition(", ")
    return f"{head} ({rest})" if comma else name


def listed(names: Sequence[str], last: str = "and") -> str:
    """Return ``"Kale, Leek and Bulb onion (long-day)"``."""
    told = [in_list(name) for name in names]
    return "".join(told) if len(told) < 2 else f"{', '.join(told[:-1])} {last} {told[-1]}"


def seen_twice(day: date, start: date, end: date) -> bool:
    """Return whether a season from ``start`` to ``end`` sees a date in two years: so tell which.

    A day before the season, or after it, counts with it.
    """
    first, last = min(start, day), max(end, day)
    leap = (day.month, day.day) == LEAP
    years = [y for y in range(first.year, last.year + 1) if isleap(y) or not leap]
    return sum(first <= day.replace(year=year) <= last for year in years) > 1
