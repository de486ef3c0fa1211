"""A bed as built, of a garden file: what is in the way, the corner it lacks, its round corners."""

from __future__ import annotations

from typing import Any

from sowplan.quantity import QuantityError, bed_m, length_m
from sowplan.records import built
from sowplan.records.garden import InTheWay
from sowplan.records.garden_file.keys import Key
from sowplan.records.garden_file.values.rules import Around, Wrong


def keep_outs(value: Any, key: Key, around: Around) -> tuple[InTheWay, ...]:
    """Read one thing in the way, or a list of them."""
    items = value if isinstance(value, list) else [value]
    return tuple(built.keep_out(text) for text in _texts(items, built.keep_out, built.RIGHT))


def corner(value: Any, key: Key, around: Around) -> str:
    """Read the size of a corner left out; kept as written, since it hangs on the bed's sides."""
    return _texts([value], bed_m, f"{key.name} is a size in quotes, such as {key.example}.")[0]


def rounded(value: Any, key: Key, around: Around) -> str:
    """Read a radius or ``"ends"``; kept as written, since it hangs on the bed's sides."""
    right = f'{key.name} is a radius in quotes, such as {key.example}, or "ends".'

    def read(text: str) -> None:
        if text.strip().casefold() != built.ENDS:
            length_m(text)

    return _texts([value], read, right)[0]


def _texts(items: list[Any], read: Any, right: str) -> list[str]:
    """Return the items, each a text that can be read."""
    for item in items:
        if not isinstance(item, str):
            raise Wrong(right, str(item))
        try:
            read(item)
        except QuantityError as error:
            raise Wrong(error.message, item) from None
    return items
