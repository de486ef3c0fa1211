"""The sowings that one thing more is counted with, in words: what to lay fleece over, what to buy.

Told so that each can be written into the garden file as a ``[[sowing]]``: elsewhere, or on another
day, they might be ready too late.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

import numpy as np

from sowplan.growth.reasons import day_words
from sowplan.season.choices.book import Book
from sowplan.season.choices.instance import DIRECT
from sowplan.season.reasons.limits import COVERED, PLANTS
from sowplan.season.words import listed, seen_twice


class Sown(NamedTuple):
    """A sowing made with a limit lifted: its day, its place, its plants, the days it stands."""

    day: int
    spot: int
    plants: int
    into: int
    clear: int
    raising: int


def dated(book: Book, crop: int, what: str, sown: Sequence[Sown]) -> str:
    """Return a thing in words, with the plants, days and places of the sowings it is counted with.

    Parameters
    ----------
    book : Book
        The garden's.
    crop : int
        The crop's number.
    what : str
        The thing, as a `Limit` has it: ``"fleece over its sowings"``, ``"buying plants"``.
    sown : sequence of Sown
        What it is counted with.
    """
    if sown and PLANTS in what:
        return what.replace(PLANTS, f"buying {_listed(book, sown, 'plant', 'for')}")
    if not sown or COVERED not in what:
        return what
    return what.replace(
        COVERED, f"{_listed(book, sown, '', 'in', crop)}, {_lying(book, crop, sown)}"
    )


def _listed(book: Book, sown: Sequence[Sown], noun: str, at: str, crop: int | None = None) -> str:
    """Return ``"6 plants on 5 May for Long bed and 4 on 12 May for Tunnel"``, or what is sown so.

    One place is told once, at the end, and one day once. Of sowings of a ``crop`` it is said how
    they are made, where that could be either way.
    """
    plants: Counter[tuple[int, int, int]] = Counter()
    for one in sown:
        plants[one.day, one.spot, one.raising] += one.plants
    places = {spot for _, spot, _ in plants}
    told, before = [], None
    for day, spot, raising in sorted(plants):
        many = plants[day, spot, raising]
        words = f"{many} {noun}{'s' if many > 1 else ''}" if noun and not told else str(many)
        if crop is not None and (day, raising) != before:
            either = book.crops[crop].start == "either"
            words += " sown" + ((" direct" if raising == DIRECT else " in trays") if either else "")
        words += "" if before is not None and day == before[0] else f" on {_day(book, day)}"
        last = (day, spot, raising) == max(plants)
        told.append(words + (f" {_place(book, spot, at)}" if len(places) > 1 or last else ""))
        before = day, raising
    return listed(told)


def _place(book: Book, spot: int, at: str) -> str:
    """Return a place; of the bed that is lifted together with a cover, ``"there"``."""
    return f"{at} {book.places[spot].name}" if spot < len(book.places) else "there"


def _lying(book: Book, crop: int, sown: Sequence[Sown]) -> str:
    """Return when a cover lies, as it is counted, and when frost makes it needed.

    ``"5 December to 20 April (against frost 30 March to 20 April)"``.
    """
    kills_c, risk = book.crops[crop].killing_frost_c, book.garden.climate.frost_risk
    unsafe = ~book.sky.frost.safe(kills_c, risk)
    stands = np.zeros(len(unsafe), bool)
    for sowing in sown:
        stands[sowing.into : sowing.clear + 1] = True
    lies, cold = np.nonzero(stands)[0], np.nonzero(stands & unsafe)[0]
    words = f"lying {_span(book, lies)}"
    if not len(cold):
        return words
    return f"{words} (against {'cold nights' if kills_c > 0 else 'frost'} {_span(book, cold)})"


def _span(book: Book, days) -> str:
    """Return the first to the last of some days: ``"22 to 27 March"``, ``"on 3 May"``."""
    first, last = int(days[0]), int(days[-1])
    if first == last:
        return f"on {_day(book, first)}"
    one_month = book.day(first).replace(day=1) == book.day(last).replace(day=1)
    begins = str(book.day(first).day) if one_month else _day(book, first)
    return f"{begins} to {_day(book, last)}"


def _day(book: Book, day: int) -> str:
    """Return a day in words, with its year where the season sees one date twice."""
    told: date = book.day(day)
    season = book.garden.season
    twice = seen_twice(told, season.start, season.end)
    return f"{day_words(told)} {told.year}" if twice else day_words(told)
