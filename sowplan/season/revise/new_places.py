"""What a place that came along since the plan before is used for, or why it stays free."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from sowplan.growth.reasons import day_words
from sowplan.season.choices.book import Book
from sowplan.season.plan import Plan, Planting, WantPeriod
from sowplan.season.reasons.fates import fates_of
from sowplan.season.words import in_list, listed

TOLD = 3
"""So many sowings of a new place are named; of more, the number."""
CRUMB = 1e-6


def new_place_notes(book: Book, old: Plan, made: Plan, today: date) -> tuple[str, ...]:
    """Return a sentence on each place that the plan before did not have.

    Parameters
    ----------
    book : Book
        The rest of the season, from today on.
    old, made : Plan
        The plan before and as it now is.
    today : date
        First day that can still be decided on.
    """
    known = {place.name for place in old.places}
    new = [place.name for place in made.places if place.name not in known]
    used: dict[str, list[Planting]] = {name: [] for name in new}
    for p in made.plantings:
        if p.place in used:
            used[p.place].append(p)
    notes = [_used(name, mine, made) for name, mine in used.items() if mine]
    free = [name for name, mine in used.items() if not mine]
    if free:
        are, stay = ("is", "stays") if len(free) == 1 else ("are", "stay")
        why = _why_free(book, made, today)
        notes.append(f"{listed(free)} {are} new and {stay} free: {why}.")
    return tuple(notes)


def _used(name: str, mine: Sequence[Planting], made: Plan) -> str:
    """Return ``"Bed 5 is new: 3 Swiss chard from 4 April and 2 more sowings come into it."``."""
    mine = sorted(mine, key=lambda p: (p.occupies_from, p.id))
    told = [f"{p.plants} {made.crop(p.crop).name} from {day_words(p.occupies_from)}" for p in mine]
    more = len(told) - TOLD
    if more > 1:
        told = [*told[:TOLD], f"{more} more sowings"]
    return f"{name} is new: {listed(told)} {'comes' if len(mine) == 1 else 'come'} into it."


def _why_free(book: Book, made: Plan, today: date) -> str:
    lacking = [w for w in made.wants if w.end >= today and w.met < w.wanted - CRUMB]
    if not lacking:
        return "all that is still wanted comes without it"
    firsts = dict(_first_fit(book, {w.crop for w in lacking}))
    if not firsts:
        return "nothing sown from now on would be fit before the season ends"
    late = [w for w in lacking if w.crop not in firsts or w.end < firsts[w.crop]]
    share = _missing(late) / _missing(lacking)
    if share < 0.5:
        return "nothing sown in it from now on brings enough of what is missing to repay a sowing"
    told = "what is missing" if len(late) == len(lacking) else "most of what is missing"
    day, key = min((day, key) for key, day in firsts.items())
    words = (
        f"{told} is wanted before anything sown from now on is fit "
        f"({in_list(made.crop(key).name)} on {day_words(day)} at the soonest)"
    )
    rest = len(late) < len(lacking)
    return f"{words}, and the rest does not repay a sowing" if rest else words


def _missing(periods: Sequence[WantPeriod]) -> float:
    return sum(1.0 - w.met / w.wanted for w in periods)


def _first_fit(book: Book, crops: set[str]) -> Iterator[tuple[str, date]]:
    """Yield for each crop that, sown from now on, is fit in this season, the first such day."""
    last = book.index(book.garden.season.end)
    for number, crop in enumerate(book.crops):
        if crop.key in crops:
            ready = [
                fate.ready for fate in fates_of(book, number) if fate.comes and fate.ready <= last
            ]
            if ready:
                yield crop.key, book.day(min(ready))
