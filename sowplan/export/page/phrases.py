"""Many like sentences in little room: every piece of text once, a text as its pieces' numbers.

The jobs of a season say the same things over and over with other figures, days and places. A
text is cut at its figures and at the names of days and months; what is left are the same few
hundred pieces. The page's script puts them together again (``spell`` in ``page.js``).
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable

from sowplan.supply.wording import MONTHS, WEEKDAYS

ENDS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789"
LEADS = "!#$%'()*+,-./:;=?@[]^_`{|}~"
"""A number ends in a letter or digit; signs before it make it larger. None needs escaping."""

_CUT = re.compile(rf"(\b(?:{'|'.join((*(d[:3] for d in WEEKDAYS), *MONTHS))})\b|[0-9]+|\n)")


def pieces(text: str) -> list[str]:
    """Return a text cut at its figures, its line ends and its names of days and months."""
    return [piece for piece in _CUT.split(text) if piece]


def numeral(number: int) -> str:
    """Return a number in signs, the small ones as one: 0 is ``"A"``, 62 is ``"!A"``."""
    rest, last = divmod(number, len(ENDS))
    signs = ENDS[last]
    while rest:
        rest, sign = divmod(rest - 1, len(LEADS))
        signs = LEADS[sign] + signs
    return signs


class PhraseBook:
    """The pieces of a page's texts, the most frequent first.

    Parameters
    ----------
    texts : iterable of str
        Every text that will be told.
    """

    def __init__(self, texts: Iterable[str]) -> None:
        counts = Counter(piece for text in texts for piece in pieces(text))
        self.pieces = [piece for piece, _ in counts.most_common()]
        self._numerals = {piece: numeral(n) for n, piece in enumerate(self.pieces)}

    def coded(self, text: str) -> str:
        """Return a text as its pieces' numbers; ``KeyError`` where a piece is not in the book."""
        return "".join(self._numerals[piece] for piece in pieces(text))
