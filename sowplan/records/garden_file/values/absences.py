"""Times in which the gardener is away, and whether somebody waters or picks meanwhile."""

from __future__ import annotations

import re
from datetime import date
from typing import Any, NamedTuple

from sowplan.problem import did_you_mean
from sowplan.records.garden_file.keys import Key
from sowplan.records.garden_file.values.months import read_day
from sowplan.records.garden_file.values.rules import Around, Wrong

WATERED, PICKED = "watered", "watered and picked"

_TENDED = {
    **dict.fromkeys((WATERED, "water", "tended", "somebody waters", "waters"), WATERED),
    **dict.fromkeys((PICKED, "picked and watered", "picked", "waters and picks"), PICKED),
    **dict.fromkeys(("", "nobody", "no", "untended", "not watered"), ""),
}


class Away(NamedTuple):
    """First and last day of a time away; ``tended`` is `WATERED`, `PICKED` or empty for neither."""

    first: date
    last: date
    tended: str = ""


def absences(value: Any, key: Key, around: Around) -> tuple[Away, ...]:
    """Read times away: a list of [first, last], or one such pair; a word may follow the days."""
    right = f"{key.name} is a list of [first day, last day], such as {key.example}."
    if not isinstance(value, list):
        raise Wrong(right)
    listed = value if all(isinstance(item, list) for item in value) else [value]
    return tuple(sorted(_one(entry, right) for entry in listed))


def _one(entry: list[Any], right: str) -> Away:
    """Return one time away."""
    if len(entry) not in (2, 3):
        raise Wrong(right, str(entry))
    try:
        first, last = (read_day(day) for day in entry[:2])
    except ValueError as error:
        raise Wrong(f"{right} {error}".strip()) from None
    if last < first:
        raise Wrong(f"{last} comes before {first}. {right}", f"{first}, {last}")
    return Away(first, last, _tended(entry[2]) if len(entry) == 3 else "")


def _tended(word: Any) -> str:
    """Return what somebody does meanwhile."""
    right = f'What follows the two days is "{WATERED}" or "{PICKED}".'
    if not isinstance(word, str):
        raise Wrong(right, str(word))
    plain = re.sub(r"\s*[,&+]\s*", " and ", word.strip().casefold())
    if plain not in _TENDED:
        raise Wrong(right + did_you_mean(plain, (WATERED, PICKED)), word)
    return _TENDED[plain]
