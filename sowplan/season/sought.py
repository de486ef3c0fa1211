"""A garden's season sought: a first one at once, then the search, gone on with as effort asks.

Each further measure of effort goes on from the best season so far, and its outcome is kept only
where it is worse in nothing: an effort's work begins with all the work of any lesser one, and so
its season is never worse. What is compared is what the gardener is shown: seasons tidied up, their
harvests handed out as the plan tells them.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import NamedTuple

from sowplan.season.choices.instance import NEVER, Batch, Instance, Ints
from sowplan.season.search.filling import fill_up
from sowplan.season.search.interval import walk_through
from sowplan.season.search.search import Search, rounds_for
from sowplan.season.search.service import hand_out
from sowplan.season.search.standing import Score, Standing
from sowplan.season.tidy.places import tidy
from sowplan.season.watch import SEARCH, TIDY, Watch

FIRST_DAYS = 21
"""The interval of the season had first: of the rule of thumb's it takes least to work out."""
SAME_DIGITS = 7
"""So many digits of want-weeks are told apart."""

First = tuple[Score, dict[int, Batch]]
"""A season by the rule of thumb: what it is judged by, and its batches."""


class Made(NamedTuple):
    """A finished season, and what it is compared by."""

    batches: dict[int, Batch]
    found: dict[int, Batch]  # as the search left it, before the last touches
    cost: float
    felt: float
    shown: tuple[float, float, int]

    def better(self, other: Made) -> bool:
        """Return whether a season is better in what the search goes by, and worse in nothing.

        That is in no more felt as missing, nor shown as missing; where as much is shown, in no
        more wasted, and so on.
        """
        if self.cost > other.cost - 1e-9 or self.felt > other.felt + 1e-9:
            return False
        return self.shown <= other.shown


def first_season(standing: Standing) -> First:
    """Return a season that is had at once, by the rule of thumb, with what stands already in it."""
    first = standing_of(standing.instance, standing.batches)
    walk_through(first, FIRST_DAYS)
    return first.score(), dict(first.batches)


def sought(search: Search, effort: float, watch: Watch, late: Sequence[Ints] | None = None) -> bool:
    """Seek a season with so much effort; the best stands then. Return whether it was stopped.

    Parameters
    ----------
    search : Search
        With the gardener's own sowings in it, and nothing else.
    effort : float
        Work to spend, as a multiple of the usual; above one its whole multiples count.
    watch : Watch
        Told how far it is. Ctrl-C keeps the best so far.
    late : sequence of ndarray of int, optional
        As in `sowplan.season.search.later`.
    """
    usual = min(effort, 1.0)
    rounds, goes = rounds_for(search.instance, usual), max(1, int(effort))
    crops = range(len(search.instance.crops))
    best = made = None
    for go in range(goes):
        watch.begin(SEARCH if goes == 1 else f"{SEARCH} {go + 1} of {goes}")
        if best is None:
            stopped = search.run(rounds, watch, late)
        else:
            stopped = search.go_on(best.found, rounds, go, watch, late)
        fill_up(search.standing, crops)
        made = made_of(search)
        if best is None or made.better(best):
            search.standing, broken = tidied(search.standing, usual, watch)
            stopped |= broken
            if not broken:
                fill_up(search.standing, crops)  # into room that has come together
            made = made_of(search)
            best = made if best is None or made.better(best) else best
        if stopped:
            break
    if made is not best:
        search.standing = standing_of(search.instance, best.batches)
    watch.found(best.shown[0])
    return stopped


def made_of(search: Search) -> Made:
    """Return a search's season as it stands, with what it is compared by."""
    standing = search.standing
    shown = shown_of(standing)
    return Made(dict(standing.batches), search.found, search.cost(), standing.score().felt, shown)


def shown_of(standing: Standing) -> tuple[float, float, int]:
    """Return what of a season is missing and wasted [want-weeks], as told, and its sowings."""
    missing = wasted = 0.0
    for case, batches in zip(standing.instance.crops, standing.of_crop, strict=True):
        lots = [
            (ready, expiry, share * batch.plants)
            for batch in batches.values()
            for ready, expiry, share in case.options.lots[batch.option]
            if ready < NEVER
        ]
        need, weight = case.periods.need.copy(), case.periods.weight
        handed = 0.0
        for period, _, amount in hand_out(case.periods, lots):
            need[period] -= amount
            handed += amount
        missing += float((need * weight).sum())
        wasted += max(0.0, sum(lot[2] for lot in lots) - handed) * case.worth
    return round(missing, SAME_DIGITS), round(wasted, SAME_DIGITS), standing.score().sowings


def tidied(
    standing: Standing, effort: float, watch: Watch, stay: Collection[int] = ()
) -> tuple[Standing, bool]:
    """Tidy a season up; return it, and whether that was stopped: then it is as it was.

    The batches of the identities ``stay`` stay where they are.
    """
    before = dict(standing.batches)
    watch.begin(TIDY)
    try:
        with watch.breakable():
            tidy(standing, [n for n, b in before.items() if id(b) in stay], effort)
    except KeyboardInterrupt:  # what is half done is thrown away
        return standing_of(standing.instance, before), True
    return standing, False


def standing_of(instance: Instance, batches: Mapping[int, Batch]) -> Standing:
    """Return the season in which just these batches stand."""
    standing = Standing(instance)
    for batch in batches.values():
        standing.add(batch)
    standing.log.clear()
    return standing
