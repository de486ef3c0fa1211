"""A plan planned again from a day on: the garden as it is now, the diary, and the old plan."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from sowplan.growth.reasons import day_words
from sowplan.problem import Exit, Problem
from sowplan.records.crop import Crop
from sowplan.records.diary import Entry
from sowplan.records.garden import FixedSowing, Garden
from sowplan.season.bound.model import Relaxation, relax
from sowplan.season.choices.book import Book
from sowplan.season.choices.candidates import book_of
from sowplan.season.choices.instance import Batch
from sowplan.season.plan import Plan, Planting
from sowplan.season.revise.absent import disturbed_by
from sowplan.season.revise.begun import Past, begin
from sowplan.season.revise.happened import happened_to
from sowplan.season.revise.kept import Future, as_planned, put_back, with_ends
from sowplan.season.revise.numbers import Numbers, numbers_for
from sowplan.season.revise.regrown import Regrown
from sowplan.season.revise.rehoused import rehoused
from sowplan.season.revise.renewed import renewed, unchanged
from sowplan.season.revise.search import Reviser, steps_for
from sowplan.season.revise.stood import Gone, State, cleared_on, state_on
from sowplan.season.search.standing import Standing
from sowplan.season.settled import settle
from sowplan.season.tidy.places import tidy

SAME_SOWING_DAYS = 45
"""So far from its day in the garden file a sowing may have been made and still be the same."""


@dataclass(frozen=True, eq=False)
class Begun:
    """A season partly gone, with the old plan's sowings to come on the beds again."""

    plan: Plan
    garden: Garden
    today: date
    state: State
    numbers: Numbers
    book: Book
    standing: Standing
    stands: dict[str, Batch]  # by planting id
    kept: dict[str, Batch]  # futures that stand exactly as planned
    moved: dict[str, Batch]  # futures that found another place or day
    past: tuple[Past, ...]
    many: int  # sowings to come in the old plan, but for the gardener's own


def revise(
    plan: Plan,
    garden: Garden,
    crops: dict[str, Crop],
    today: date,
    entries: Sequence[Entry] = (),
    diary: str = "",
    effort: float = 1.0,
) -> tuple[Plan | None, list[Gone], list[Problem]]:
    """Plan the rest of a season again, changing as little of what is to come as can be.

    Parameters
    ----------
    plan : Plan
        The plan so far.
    garden : Garden
        The garden file as it is now: beds, trays, wants may have come or gone.
    crops : dict of str to Crop
        The crop table; has every crop of the plan and the garden.
    today : date
        First day that can still be decided on. What the plan had sown before it is taken as sown,
        but for what the diary says.
    entries : sequence of Entry
        The diary's.
    diary : str
        Its file, for the problems.
    effort : float
        Work to spend, as a multiple of the usual.

    Returns
    -------
    plan : Plan or None
        The very plan that was given where nothing has changed. None where there are problems.
    gone : list of Gone
        Plantings of the old plan that are no more, and why.
    problems : list of Problem
        What in the diary or the garden file cannot be.
    """
    problems = _same_season(plan, garden, today)
    happened, wrong = happened_to(entries, plan, diary, today)
    problems += wrong
    problems += _unknown_crops(plan, crops, garden)
    if problems:
        return None, [], problems
    regrown = Regrown(garden, crops, today, plan.safety, plan.site)
    state = state_on(
        plan, happened, today, regrown, regrown.fewer, disturbed_by(plan, garden.season, today)
    )
    state, homeless = _without_lost_places(state, garden, today)
    begun, problems = begin_again(plan, garden, crops, today, state)
    if begun is not None and homeless:
        state = _with_rehoused(state, homeless, rehoused(begun, homeless, regrown), today)
        begun, problems = begin_again(plan, garden, crops, today, state)
    if begun is None:
        return None, [], problems
    if unchanged(begun):
        return plan, [], []
    relaxation = relax(begun.book.instance)
    mend(begun, relaxation, effort)
    made, dropped = renewed(begun, relaxation)
    return made, [*state.gone, *dropped], []


def begin_again(
    plan: Plan, garden: Garden, crops: dict[str, Crop], today: date, state: State
) -> tuple[Begun | None, list[Problem]]:
    """Put what stands and what was still to be sown onto the beds as they are now."""
    own, sowings, edited = _own_sowings(garden, state)
    first = max(today, garden.season.start)
    rest = replace(garden, season=replace(garden.season, start=first), sowings=tuple(sowings))
    book = book_of(rest, crops, plan.safety)
    plantings = [*state.stands, *state.futures]
    numbers = numbers_for(book, plan, plantings, crops)
    book = numbers.book
    day = book.index(first)
    stands = [numbers.stand(p) for p in state.stands]
    gone_days = (first - garden.season.start).days
    instance, fixed, past = begin(book.instance, stands, day, max(gone_days - day, 0))
    coming = [p for p in state.futures if p.id not in edited]
    futures = [numbers.future(p, own.get(p.id, -1)) for p in coming]
    instance, options = with_ends(instance, futures)
    book = replace(book, instance=instance)
    standing, again, problems = _on_the_beds(book, fixed, futures, options)
    if problems:  # the gardener's own sowings first, then
        standing, again, problems = _on_the_beds(book, fixed, futures, options, own_first=True)
    if problems:
        return None, problems
    kept, moved = {}, {}
    for p, future, option, batch in zip(coming, futures, options, again, strict=True):
        if batch is not None:
            exact = option is not None and batch == as_planned(instance, future, option)
            (kept if exact else moved)[p.id] = batch
    by_number = {
        instance.crops[b.crop].options.rows[b.option][5]: b
        for b in standing.batches.values()
        if b.fixed
    }
    for name, number in edited.items():
        if by_number[number] not in moved.values():
            moved[name] = by_number[number]
    many = sum(future.fixed < 0 for future in futures)
    by_id = {p.id: batch for p, batch in zip(state.stands, fixed, strict=True)}
    return (
        Begun(
            plan, garden, first, state, replace(numbers, book=book), book, standing, by_id,
            kept, moved, tuple(past), many,
        ),
        [],
    )  # fmt: skip


def _on_the_beds(
    book: Book,
    fixed: Sequence[Batch],
    futures: Sequence[Future],
    options: Sequence[int | None],
    own_first: bool = False,
) -> tuple[Standing, list[Batch | None], list[Problem]]:
    """Put on the beds what stands, what was still to be sown, and the gardener's own sowings.

    Those that are as they were come before all else. New and edited ones come last, so that
    nothing has to make way where there is room enough; or with ``own_first`` before the others.
    """
    standing = Standing(book.instance)
    for batch in fixed:
        standing.add(batch)
    again: list[Batch | None] = [None] * len(futures)
    own = [n for n, future in enumerate(futures) if future.fixed >= 0]
    others = [n for n, future in enumerate(futures) if future.fixed < 0]

    def back(some: list[int]) -> None:
        found = put_back(standing, [futures[n] for n in some], [options[n] for n in some])
        for n, batch in zip(some, found, strict=True):
            again[n] = batch

    back(own)
    if not own_first:
        back(others)
    settled = {futures[n].fixed for n in own}
    for number in {futures[n].fixed for n in own if again[n] is None}:
        settled.discard(number)  # a part found no place: all of it is settled anew
        for n in own:
            if futures[n].fixed == number and again[n] is not None:
                standing.remove(next(k for k, b in standing.batches.items() if b is again[n]))
                again[n] = None
    left = [n for n in range(len(book.garden.sowings)) if n not in settled]
    problems = settle(book, standing, left)
    if own_first:
        back(others)
    return standing, again, problems


def mend(begun: Begun, relaxation: Relaxation, effort: float = 1.0) -> Reviser:
    """Search for the season that lacks least with few changes; return it."""
    reviser = Reviser(
        begun.book.instance, relaxation, begun.standing, list(begun.kept.values()), begun.many
    )
    reviser.mend(int(effort * steps_for(begun.book.instance)))
    old = {id(b) for b in (begun.stands | begun.kept | begun.moved).values()}
    tidy(begun.standing, [n for n, b in begun.standing.batches.items() if id(b) in old], effort)
    return reviser


def _same_season(plan: Plan, garden: Garden, today: date) -> list[Problem]:
    """Return why a garden file's season is not the plan's, or is over."""
    site, season = plan.site, garden.season
    far = abs(site.latitude - garden.site.latitude) + abs(site.longitude - garden.site.longitude)
    if season.start != site.start or far > 0.02:
        found = season.start.isoformat() if far <= 0.02 else garden.site.name
        other = (
            f"the plan is of {site.name} from {site.start}: a season that begins on another day, "
            "or a garden elsewhere, is planned anew with `sowplan plan`."
        )
        return [Problem(garden.file, None, "[season], start", found, other, Exit.IMPOSSIBLE)]
    if today > season.end:
        over = f"the season is over since {day_words(season.end)}: there is nothing left to plan."
        return [Problem(garden.file, None, "[season], end", str(season.end), over, Exit.IMPOSSIBLE)]
    return []


def _unknown_crops(plan: Plan, crops: dict[str, Crop], garden: Garden) -> list[Problem]:
    lost = sorted({p.crop for p in plan.plantings} - crops.keys())
    message = "the plan has sowings of it, and the crop table knows it no more."
    return [Problem(garden.file, None, "crops", key, message, Exit.IMPOSSIBLE) for key in lost]


def _without_lost_places(state: State, garden: Garden, today: date) -> tuple[State, list[Planting]]:
    """Let what stands in a place that is no more end today, with the harvests it has given.

    Seedlings that were to be planted out there are returned apart.
    """
    there = {place.name for place in garden.places}
    stands, homeless, gone, was = [], [], list(state.gone), dict(state.was)
    for p in state.stands:
        if p.place in there or p.cleared <= today:
            stands.append(p)
            continue
        if p.planting_out is not None and p.planting_out >= today:
            homeless.append(p)
            continue
        cut = cleared_on(p, today)
        if cut is None:
            gone.append(Gone(p, f"{p.place} is no more", today))
            was.pop(p.id, None)
        else:
            stands.append(cut)
            was.setdefault(p.id, p)
    return State(tuple(stands), state.futures, tuple(gone), was), homeless


def _with_rehoused(
    state: State, homeless: Sequence[Planting], found: Sequence[Planting], today: date
) -> State:
    """Let seedlings stand where they found another place; the others are no more."""
    was, gone = dict(state.was), list(state.gone)
    housed = {p.id for p in found}
    for p in homeless:
        if p.id in housed:
            was.setdefault(p.id, p)
        else:
            was.pop(p.id, None)
            gone.append(Gone(p, f"{p.place} is no more, and no other place has room", today))
    return State((*state.stands, *found), state.futures, tuple(gone), was)


def _own_sowings(
    garden: Garden, state: State
) -> tuple[dict[str, int], list[FixedSowing], dict[str, int]]:
    """Return which futures are the gardener's own sowings, those not yet sown, and edited ones.

    A sowing of the garden file is the plan's fixed planting of its crop nearest to its day; the
    numbers are those of the list of sowings not yet sown. One is edited where the garden file has
    it on another day, in another place or of another size than the plan.
    """
    coming = {p.id for p in state.futures}
    own: dict[str, int] = {}
    edited: dict[str, int] = {}
    sowings: list[FixedSowing] = []
    for sowing, parts in zip(garden.sowings, _parts_of(garden, state), strict=True):
        if parts and parts[0].id not in coming:
            continue
        same = sum(p.plants for p in parts) == sowing.plants
        same = same and all(p.sow == sowing.day for p in parts)
        same = same and all(sowing.place in (None, p.place) for p in parts)
        same = same and all(sowing.raising in (None, p.raising) for p in parts)
        if sowing.until is not None:
            same = same and all(p.cleared <= sowing.until + timedelta(days=1) for p in parts)
        for p in parts:
            (own if same else edited)[p.id] = len(sowings)
        sowings.append(sowing)
    return own, sowings, edited


def _parts_of(garden: Garden, state: State) -> list[list[Planting]]:
    """Return, for each sowing of the garden file, the plantings it is; it may be several strips.

    Where two are of one crop and day, those that name their place come first to what stands there.
    """
    groups: dict[tuple, list[Planting]] = {}
    coming = {p.id for p in state.futures}
    for p in (*state.stands, *(one.planting for one in state.gone), *state.futures):
        if p.fixed:
            groups.setdefault((p.crop, p.sow, p.id in coming), []).append(p)
    found: list[list[Planting]] = [[] for _ in garden.sowings]
    for at_place in (True, False):
        for number, sowing in enumerate(garden.sowings):
            if found[number]:
                continue
            near = {
                key: [p for p in parts if not at_place or p.place == sowing.place]
                for key, parts in groups.items()
                if key[0] == sowing.crop and _apart(key[1], sowing) <= SAME_SOWING_DAYS
            }
            keys = [key for key, parts in near.items() if parts]
            key = min(keys, key=lambda key: (_apart(key[1], sowing), key), default=None)
            if key is not None:
                found[number] = near[key]
                groups[key] = [p for p in groups[key] if p not in near[key]]
    return found


def _apart(day: date, sowing: FixedSowing) -> int:
    return abs((day - sowing.day).days)
