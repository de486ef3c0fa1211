"""Names in lists, as sentences need them."""

from __future__ import annotations

from collections.abc import Sequence


def in_list(name: str) -> str:
    """Return a name fit for a list: ``"Bulb onion, long-day"`` as ``"Bulb onion (long-day)"``."""
    head, comma, rest = name.partition(", ")
    return f"{head} ({rest})" if comma else name


def listed(names: Sequence[str], last: str = "and") -> str:
    """Return ``"Kale, Leek and Bulb onion (long-day)"``."""
    told = [in_list(name) for name in names]
    return "".join(told) if len(told) < 2 else f"{', '.join(told[:-1])} {last} {told[-1]}"
