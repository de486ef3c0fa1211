"""Why a want is not met: what stands in the way, found by trying, said in gardener's words.

Periods of a want that follow one another and go short are looked at together. Where sowings could
serve them, those are held against the finished season: is there room, are there cells, does
rotation allow it? Where none could, the season itself says why (`sowplan.season.reasons.never`).

Where the gardener's own words are what binds, that is the reason told
(`sowplan.season.reasons.own`).

Each reason begins with what is short, in a word or two, and a colon.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from sowplan.growth.reasons import day_words, in_units
from sowplan.season.choices.book import Book
from sowplan.season.choices.instance import Ints
from sowplan.season.plan import WantPeriod, label_of_why, labelled
from sowplan.season.reasons.clauses import clause, in_years, planted, planted_of, too_few
from sowplan.season.reasons.fates import as_wanted, fates_of
from sowplan.season.reasons.in_the_way import in_the_way, lacks_of
from sowplan.season.reasons.never import never, served_but_for_absence, slow_label
from sowplan.season.reasons.own import Owns
from sowplan.season.reasons.trials import (
    Found,
    Trial,
    first_found,
    plants_for,
    trials_of,
)
from sowplan.season.search.filling import WASTE, WORTH_A_SOWING
from sowplan.season.search.standing import Standing

WORTH_TRYING = 0.25
"""Of what a period wants: where less is missing, the gardener's own words are not tried."""


TOO_LITTLE = "too little"
AWAY, SAYS_AWAY = "days away", "(away)"
"""The label of a reason that is the gardener's absence, and how one names it beside others."""

Run = list[WantPeriod]


def reasons(
    book: Book, standing: Standing, wants: Sequence[WantPeriod]
) -> dict[tuple[int, date], str]:
    """Return, by want and first day, why a period is not met in full."""
    found = {}
    for some in reasons_in_turn(book, standing, wants):
        found |= some
    return found


def reasons_in_turn(
    book: Book, standing: Standing, wants: Sequence[WantPeriod]
) -> Iterator[dict[tuple[int, date], str]]:
    """Yield the same one after the other: who stops on the way has those that are known by then."""
    numbers = {crop.key: number for number, crop in enumerate(book.crops)}
    owns = Owns(book)
    for run, words in _told(book, standing, _runs_of(book, wants, numbers, owns), owns):
        crop = numbers[run[0].crop]
        words = in_years(in_units(words, book.garden.units), book.garden.climate.frost_risk)
        what = planted_of(book.crops[crop], book.garden.wants[run[0].want])
        words = planted(words, what) if what else words
        yield {(want.want, want.start): words for want in run}


def _runs_of(book: Book, wants: Sequence[WantPeriod], numbers, owns: Owns) -> list[Run]:
    """Return runs of neighbouring short periods alike in what can serve them and in what does.

    And, where nothing can, in which of the gardener's own words shut them out.
    """
    short = [
        want
        for want in sorted(wants, key=lambda want: (want.want, want.start))
        if want.wanted - want.met > 1e-6 * max(want.wanted, 1.0)
    ]
    kinds = [_kind(book, numbers[want.crop], want, owns) for want in short]
    return _runs_alike(short, kinds)


def _runs_alike(short: Sequence[WantPeriod], kinds: Sequence[object]) -> list[Run]:
    """Return runs of periods, in order of want and days, that adjoin and are of one kind."""
    found: list[Run] = []
    for n, want in enumerate(short):
        last = found[-1][-1] if found else want
        adjoins = last.want == want.want and want.start - last.end <= timedelta(days=1)
        if found and adjoins and kinds[n] == kinds[n - 1]:
            found[-1].append(want)
        else:
            found.append([want])
    return found


def _kind(book: Book, crop: int, want: WantPeriod, owns: Owns) -> tuple[bool, bool, str]:
    """Return what periods told together share: what can serve them, and what shuts them out.

    Days away, say, are named only for the very periods that something would serve without them.
    """
    able, serves = bool(_fits(book, crop, want).any()), _serves(book, crop, want)
    if able or not len(book.instance.crops[crop].room):
        return able, serves, ""
    mine, span = as_wanted(book, want.want), (book.index(want.start), book.index(want.end))
    away = served_but_for_absence(mine, crop, *span)
    return able, serves, AWAY if away else label_of_why(owns.shut_out([want]))


def _told(
    book: Book, standing: Standing, runs: Sequence[Run], owns: Owns
) -> Iterator[tuple[Run, str]]:
    """Yield runs of periods with their reasons; those apart that have room but for an absence."""
    numbers = {crop.key: number for number, crop in enumerate(book.crops)}
    for run in runs:
        crop = numbers[run[0].crop]
        words = _reason(book, standing, crop, run, owns)
        if len(run) == 1 or SAYS_AWAY not in words or not _fits(book, crop, run[0]).any():
            yield run, words
            continue
        away = [SAYS_AWAY in _crowded_out(book, standing, crop, want, owns) for want in run]
        for part in _runs_alike(run, away):
            mine = away[run.index(part[0])]
            yield part, words if mine else _reason(book, standing, crop, part, owns, own=False)


def _fits(book: Book, crop: int, want: WantPeriod) -> NDArray[np.bool_]:
    """Return which lots of a crop's free options are fit in a period."""
    fits, settled = _lots_in(book, crop, want)
    return fits & ~settled


def _serves(book: Book, crop: int, want: WantPeriod) -> bool:
    """Tell whether some of what the gardener has settled is fit in a period."""
    fits, settled = _lots_in(book, crop, want)
    return bool((fits & settled).any())


def _lots_in(book: Book, crop: int, want: WantPeriod) -> tuple[NDArray[np.bool_], ...]:
    """Return which lots of a crop are fit in a period, and which are of what is settled."""
    options = book.instance.crops[crop].options
    start, end = book.index(want.start), book.index(want.end)
    fits = (options.lot_ready <= end) & (options.lot_expiry >= start)
    return fits, options.fixed[options.lot_option] >= 0


def _reason(book, standing: Standing, crop: int, run: Run, owns: Owns, own: bool = True) -> str:
    """Return the reason of a run; of one that could be served the ``own`` words only if asked."""
    want = max(run, key=lambda want: (want.wanted - want.met, -want.start.toordinal()))
    case = book.instance.crops[crop]
    if not len(case.room):
        return labelled("no place", f"no place here is large enough for {book.crops[crop].name}")
    fits = _fits(book, crop, want)
    able = np.unique(case.options.lot_option[fits])
    if not len(able):
        mine = as_wanted(book, want.want)
        words = never(mine, crop, book.index(run[0].start), book.index(run[-1].end))
        if not words.startswith(AWAY):
            words = owns.shut_out(run) or words
        if not _serves(book, crop, want):
            return words
        late = words.partition(": ")[2]
        return labelled("too few plants", f"those set bring too little{too_few(late)}")
    lack = _lack(book, crop, want)
    small = _left_out(book, standing, crop, want, able, fits, lack)
    if small:
        return small
    trials = trials_of(book, standing, crop, able, fits, lack)
    if not trials:
        return labelled("no place", "no place that suits it is large enough")
    open_ = next((trial for trial in trials if not lacks_of(book, crop, trial)), None)
    if open_ is not None:  # in a season that was stopped before it was filled up
        return _does_without(book, crop, open_)
    label, words = in_the_way(book, standing, crop, trials, say=len(run) > 1)
    if own and sum(w.wanted - w.met for w in run) >= WORTH_TRYING * want.wanted:
        said = _crowded_out(book, standing, crop, want, owns)
        if said:
            return said
    return labelled(label, "; ".join([words, *_last_day(book, crop, able, want)]))


def _crowded_out(book: Book, standing: Standing, crop: int, want: WantPeriod, owns: Owns) -> str:
    return owns.crowded_out(standing, crop, want, _lack(book, crop, want))


def _lack(book: Book, crop: int, want: WantPeriod) -> float:
    """Return how many plants a period lacks."""
    share = (want.wanted - want.met) / want.wanted
    return share * float(book.instance.crops[crop].periods.need[_period(book, crop, want)])


def _period(book: Book, crop: int, want: WantPeriod) -> int:
    periods = book.instance.crops[crop].periods
    same = (periods.want == want.want) & (periods.start == book.index(want.start))
    return int(np.nonzero(same)[0][0])


def _last_day(book: Book, crop: int, able, want: WantPeriod) -> list[str]:
    """Say by when it has to be sown, where more than its usual time forbids a later day."""
    last = int(book.instance.crops[crop].options.sow[able].max())
    fates = fates_of(as_wanted(book, want.want), crop)
    good = [fate for fate in fates if fate.comes]
    after = [fate for fate in fates if last < fate.sow <= book.index(want.end)]
    if not after or not good:
        return []
    day = day_words(book.day(last))
    if not after[0].comes:
        reason = clause(after[0].reason).partition(", before it is ready")[0]
        reason = re.sub(r" about \d+ \w+$", "", reason)  # the day to sow by is what counts
        return [f"sown after {day}, {reason}"] if reason else []
    label = slow_label(book, good, after[0])
    if not label or after[0].ready <= book.index(want.end):
        return []
    ready = day_words(book.day(min(fate.ready for fate in after if fate.comes)))
    return [f"in the {label} nothing sown after {day} is ready before {ready}"]


def _left_out(
    book, standing: Standing, crop: int, want: WantPeriod, able: Ints, fits, lack: float
) -> str:
    """Say why what is missing is not sown though there is room for it; empty without room.

    Fewer plants count here than are worth a sowing, as long as they make up for all that the
    period lacks.
    """
    case = book.instance.crops[crop]
    options = case.options
    fewest = np.full(len(options), book.garden.wants[want.want].sow_at_least, np.int64)
    plants = plants_for(case, fits, able, lack, fewest)
    order = np.lexsort(((options.clear - options.into)[able], plants))
    found = first_found(standing, book.instance, crop, case, able[order], plants[order])
    if found is None:
        return ""
    sown = _with_room(book, crop, found)
    its = "its" if found.plants == 1 else "their"
    if found.plants < case.least[found.option]:
        return labelled(TOO_LITTLE, f"{sown}, too few to be worth a sowing of {its} own")
    felt, idle = standing.harvested(crop, found.option, found.plants)
    worth = standing.felt(crop) - felt - WASTE * (idle - standing.idle(crop))
    if worth < WORTH_A_SOWING:
        words = f"{sown}, but too little is missing to be worth a sowing of {its} own"
        return labelled(TOO_LITTLE, words)
    return _does_without(book, crop, found)


def _does_without(book: Book, crop: int, sowing: Trial | Found) -> str:
    """Say that a sowing for which there is all it takes was not made."""
    them = "it" if sowing.plants == 1 else "them"
    return labelled("left out", f"{_with_room(book, crop, sowing)}; this plan does without {them}")


def _with_room(book: Book, crop: int, sowing: Trial | Found) -> str:
    day = book.day(int(book.instance.crops[crop].options.sow[sowing.option]))
    place = book.instance.spots[sowing.spot].name
    return f"{sowing.plants} sown on {day_words(day)} would find room in {place}"
