"""Texts as lines, on which a figure stays with its unit."""

from __future__ import annotations

import re
import textwrap
from functools import lru_cache

HARD_SPACE = "\N{NO-BREAK SPACE}"
_BEFORE_UNIT = re.compile(r"(?<=[0-9½]) (?=%|°[CF]|(?:m²|sq ft|cm|mm|m|kg|g|lb|oz|l|h|ft|in)\b)")


_KEPT = re.compile(  # begins with the space, so that it is soon found
    r" (?:(?<=[\d½¼¾⅛⅜⅝⅞] )"
    r"(?=[%°½×(\d]|(?!(?:and|at|by|for|from|is|of|or|the|to|until|with)\b)[^\W\d])"
    r"|(?<=\bft )(?=\d)|(?<=× )(?=\d)|(?<=\bUS )(?=gal\b)"
    r"|(?<=\b(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun) )(?=\d))"
)


@lru_cache(maxsize=4096)  # page and sheets say the same jobs
def kept_together(text: str) -> str:
    """Return a text in which no line ends between a figure and what it counts or measures.

    Parameters
    ----------
    text : str
        For a page or a print, which break its lines themselves.

    Returns
    -------
    str
        The same with no-break spaces: within ``"280 g"``, ``"3 ft 6½ in"``, ``"10 %"``,
        ``"1½ bunches"``, ``"9 heads"``, ``"Sat 21 Nov"``, ``"2.4 × 0.9 m"``.
    """
    return _KEPT.sub(HARD_SPACE, text)


def wrapped(text: str, width: int, first: str = "", rest: str = "") -> list[str]:
    """Return a text as lines, a figure and its unit on one; ``first`` and ``rest`` begin them."""
    lines = textwrap.wrap(
        _BEFORE_UNIT.sub(HARD_SPACE, text), width,
        initial_indent=first, subsequent_indent=rest, break_on_hyphens=False,
    )  # fmt: skip
    return [line.replace(HARD_SPACE, " ") for line in lines]
