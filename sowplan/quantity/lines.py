"""Texts as lines, on which a figure stays with its unit."""

from __future__ import annotations

import re
import textwrap

HARD_SPACE = "\N{NO-BREAK SPACE}"
_BEFORE_UNIT = re.compile(r"(?<=[0-9½]) (?=%|°[CF]|(?:m²|sq ft|cm|mm|m|kg|g|lb|oz|l|h|ft|in)\b)")


def wrapped(text: str, width: int, first: str = "", rest: str = "") -> list[str]:
    """Return a text as lines, a figure and its unit on one; ``first`` and ``rest`` begin them."""
    lines = textwrap.wrap(
        _BEFORE_UNIT.sub(HARD_SPACE, text), width,
        initial_indent=first, subsequent_indent=rest, break_on_hyphens=False,
    )  # fmt: skip
    return [line.replace(HARD_SPACE, " ") for line in lines]
