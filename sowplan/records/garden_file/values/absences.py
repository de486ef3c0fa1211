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
    if isinstance(value, date):
        raise Wrong(f"One day away is written {key.name} = [[{value}, {value}]].")
    if not isinstance(value, list):
        raise Wrong(right)
    apart = [item for item in value if not isinstance(item, list)]
    days = [item for item in apart if not isinstance(item, str) or item[:1].isdigit()]
    if len(apart) < len(value) and apart:
        raise Wrong(_of_its_own(_pairs(apart), key), _written(apart)[1:-1])
    if len(days) > 2:
        raise Wrong(_of_its_own(_pairs(apart), key, whole=True))
    listed = [value] if apart else value
    return tuple(sorted(_one(entry, right) for entry in listed))


def _of_its_own(pairs: list[list[Any]], key: Key, whole: bool = False) -> str:
    """Return that each time away stands in brackets of its own, written so."""
    told = [_written(pair) for pair in pairs]
    if not whole:
        return f"Each time away stands in brackets of its own: {', '.join(told)}."
    more = ", …" if len(told) > 2 else ""
    right = f"{key.name} = [{', '.join(told[:2])}{more}]"
    return f"Each time away stands in brackets of its own, and all in another pair: {right}."


def _pairs(items: list[Any]) -> list[list[Any]]:
    """Return days two by two, a word with the two before it."""
    pairs: list[list[Any]] = []
    for item in items:
        word = isinstance(item, str) and not item[:1].isdigit()
        if pairs and (word or len(pairs[-1]) < 2):
            pairs[-1].append(item)
        else:
            pairs.append([item])
    return pairs


def _written(value: Any) -> str:
    """Return a value as it stands in a garden file."""
    if isinstance(value, list):
        return f"[{', '.join(map(_written, value))}]"
    return f'"{value}"' if isinstance(value, str) else str(value)


def _one(entry: list[Any], right: str) -> Away:
    """Return one time away."""
    if len(entry) == 1 and isinstance(entry[0], date):
        raise Wrong(f"One day away is written [{entry[0]}, {entry[0]}].", _written(entry))
    if len(entry) not in (2, 3):
        raise Wrong(right, _written(entry))
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
    if isinstance(word, date):
        raise Wrong(f"A time away has a first and a last day. {right}", str(word))
    if not isinstance(word, str):
        raise Wrong(right, str(word))
    plain = re.sub(r"\s*[,&+]\s*", " and ", word.strip().casefold())
    if plain not in _TENDED:
        raise Wrong(right + did_you_mean(plain, (WATERED, PICKED)), word)
    return _TENDED[plain]
