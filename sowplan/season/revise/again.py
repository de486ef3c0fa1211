"""A plan planned again from a day on: the garden as it is now, the diary, and the old plan."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date

from sowplan.growth.reasons import day_words
from sowplan.problem import Exit, Problem
from sowplan.records.crop import Crop
from sowplan.records.diary import Entry
from sowplan.records.garden import Garden
from sowplan.season.bound.model import Relaxation, relax
from sowplan.season.choices.book import Book
from sowplan.season.choices.candidates import book_of
from sowplan.season.choices.instance import Batch
from sowplan.season.plan import Plan
from sowplan.season.revise.absent import disturbed_by
from sowplan.season.revise.begun import Begun
from sowplan.season.revise.happened import happened_to
from sowplan.season.revise.kept import Future, as_planned, put_back, with_ends
from sowplan.season.revise.numbers import numbers_for
from sowplan.season.revise.own import own_sowings
from sowplan.season.revise.regrown import Regrown
from sowplan.season.revise.rehoused import rehoused, with_rehoused, without_lost_places
from sowplan.season.revise.renewed import freed, renewed, stopped_early, unchanged
from sowplan.season.revise.search import Reviser, steps_for
from sowplan.season.revise.so_far import begin
from sowplan.season.revise.stood import Gone, State, state_on
from sowplan.season.search.standing import Standing
from sowplan.season.settled import settle
from sowplan.season.tidy.places import tidy


def revise(
    plan: Plan,
    garden: Garden,
    crops: dict[str, Crop],
    today: date,
    entries: Sequence[Entry] = (),
    diary: str = "",
    effort: float = 1.0,
    progress: Callable[[int, int, float, float], None] | None = None,
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
    progress : callable, optional
        Told how far the work is, as by `sowplan.season.planner.make_plan`. Ctrl-C from then on
        ends the work with the best plan so far, which its ``method`` then says.

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
    state, homeless = without_lost_places(state, garden, today)
    begun, problems = begin_again(plan, garden, crops, today, state)
    if begun is not None and homeless:
        state = with_rehoused(state, homeless, rehoused(begun, homeless, regrown), today)
        begun, problems = begin_again(plan, garden, crops, today, state)
    if begun is None:
        return None, [], problems
    if unchanged(begun) and not freed(begun):
        return plan, [], []
    relaxation = relax(begun.book.instance)
    begun, stopped = mend(begun, relaxation, effort, progress)
    if unchanged(begun):
        return plan, [], []
    made, dropped = renewed(begun, relaxation)
    return stopped_early(made) if stopped else made, [*state.gone, *dropped], []


def begin_again(
    plan: Plan, garden: Garden, crops: dict[str, Crop], today: date, state: State
) -> tuple[Begun | None, list[Problem]]:
    """Put what stands and what was still to be sown onto the beds as they are now."""
    own, sowings, edited = own_sowings(garden, state)
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


def mend(
    begun: Begun,
    relaxation: Relaxation,
    effort: float = 1.0,
    progress: Callable[[int, int, float, float], None] | None = None,
) -> tuple[Begun, bool]:
    """Search for the season that lacks least with few changes; return it, and whether stopped."""
    instance = begun.book.instance
    wanted = instance.wanted or 1.0
    told = None
    if progress is not None:

        def told(done, rounds, score, bound):
            progress(done, rounds, score.missing / wanted, bound / wanted)

    kept = list(begun.kept.values())
    reviser = Reviser(instance, relaxation, begun.standing, kept, begun.many)
    stopped = reviser.mend(int(effort * steps_for(instance)), told)
    old = {id(b) for b in (begun.stands | begun.kept | begun.moved).values()}
    stay = [n for n, b in reviser.standing.batches.items() if id(b) in old]
    try:
        tidy(reviser.standing, stay, effort)
    except KeyboardInterrupt:  # while it is tidied up: that, half done, is thrown away
        stopped = True
        reviser.standing = Standing(instance)
        reviser.restore()
    return replace(begun, standing=reviser.standing), stopped


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
