"""A plan planned again from a day on: the garden as it is now, the diary, and the old plan."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from sowplan.growth.reasons import day_words
from sowplan.problem import Exit, Problem
from sowplan.records.crop import Crop
from sowplan.records.diary import Entry
from sowplan.records.garden import Garden
from sowplan.season.bound.model import Relaxation, relax, unsolved
from sowplan.season.choices.instance import Batch
from sowplan.season.plan import Plan
from sowplan.season.revise.absent import disturbed_by
from sowplan.season.revise.begun import Begun, begin_again
from sowplan.season.revise.happened import happened_to
from sowplan.season.revise.own import without_slips
from sowplan.season.revise.regrown import Regrown
from sowplan.season.revise.rehoused import rehoused, with_rehoused, without_lost_places
from sowplan.season.revise.renamed import as_called_now, new_names
from sowplan.season.revise.renewed import freed, renewed, stopped_early, unchanged, wanted_in_all
from sowplan.season.revise.search import Reviser, steps_for
from sowplan.season.revise.stood import Gone, state_on
from sowplan.season.revise.too_small import too_small
from sowplan.season.search.search import Search
from sowplan.season.sought import shown_of, sought, standing_of, tidied
from sowplan.season.watch import BOUND, GROWTH, SEARCH, Watch

SAME = 1e-7
"""Missing by so little less is no gain [want-weeks, as felt]."""


def revise(
    plan: Plan,
    garden: Garden,
    crops: dict[str, Crop],
    today: date,
    entries: Sequence[Entry] = (),
    diary: str = "",
    effort: float = 1.0,
    watch: Watch | None = None,
    anew: bool = False,
) -> tuple[Plan | None, list[Gone], list[Problem]]:
    """Plan the rest of a season again, changing as little of what is to come as can be.

    Of the sowings to come at most a tenth are changed (of few, two), besides what had to be.

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
    watch : Watch, optional
        Told how far the work is. Once what stands and was to come is on the beds there is a plan,
        and Ctrl-C ends the work with the best so far, as by `sowplan.season.planner.make_plan`.
    anew : bool
        Plan all that is still to be sown afresh, however much that changes. Takes as long as
        planning a season.

    Returns
    -------
    plan : Plan or None
        The very plan that was given where nothing calls for another. None where there are problems.
    gone : list of Gone
        Plantings of the old plan that are no more, and why; also sowings to come that could not
        stay as they were, and are otherwise now.
    problems : list of Problem
        What in the diary or the garden file cannot be.
    """
    watch = watch or Watch()
    watch.begin(GROWTH)
    problems = _same_season(plan, garden, today)
    happened, wrong = happened_to(entries, plan, diary, today)
    problems += wrong
    problems += _unknown_crops(plan, crops, garden)
    if problems:
        return None, [], problems
    made, plan = plan, as_called_now(plan, new_names(plan, garden))
    if made is not plan:  # nothing else may have changed
        made = replace(plan, revision=plan.revision + 1, revised=max(today, plan.site.start))
    plan = without_slips(plan, entries)
    regrown = Regrown(garden, crops, today, plan.safety, plan.site)
    state = state_on(
        plan, happened, today, regrown, regrown.fewer, disturbed_by(plan, garden.season, today)
    )
    problems = too_small(plan, garden, state.stands, today)
    if problems:
        return None, [], problems
    state, homeless = without_lost_places(state, plan, garden, today)
    begun, problems = begin_again(plan, garden, crops, today, state)
    if begun is not None and homeless:
        state = with_rehoused(state, homeless, rehoused(begun, homeless, regrown), today)
        begun, problems = begin_again(plan, garden, crops, today, state)
    if begun is None:
        return None, [], problems
    if unchanged(begun) and not freed(begun) and not anew:
        return made, [], []
    begun, relaxation, stopped = _sought(begun, effort, watch, anew)
    if unchanged(begun):
        return made, [], []
    made, dropped = renewed(begun, relaxation, anew, watch)
    return stopped_early(made) if stopped else made, [*state.gone, *dropped], []


def _sought(
    begun: Begun, effort: float, watch: Watch, anew: bool
) -> tuple[Begun, Relaxation, bool]:
    """Return the rest of the season as it is sought, what it is led by, and whether stopped."""
    instance, score = begun.book.instance, begun.standing.score()
    watch.reckon(wanted_in_all(begun), sum(past.missing for past in begun.past))
    watch.keep()
    watch.found(score.missing)
    watch.begin(BOUND)
    try:
        with watch.breakable():
            relaxation = relax(instance)
    except KeyboardInterrupt:
        return begun, unsolved(instance), True
    watch.bounded(relaxation.bound)
    begun, stopped = (sown_anew if anew else mend)(begun, relaxation, effort, watch)
    watch.found(shown_of(begun.standing)[0])  # as the plan will say it
    return begun, relaxation, stopped


def mend(
    begun: Begun, relaxation: Relaxation, effort: float = 1.0, watch: Watch | None = None
) -> tuple[Begun, bool]:
    """Search for the season that lacks least with few changes; return it, and whether stopped."""
    watch = watch or Watch()
    instance = begun.book.instance
    kept, moved = [*begun.kept.values()], [*begun.moved.values()]
    reviser = Reviser(instance, relaxation, begun.standing, kept, begun.many, moved)
    steps, goes = int(min(effort, 1.0) * steps_for(instance)), max(1, int(effort))
    watch.begin(SEARCH)
    stopped = reviser.mend(steps, watch, goes)
    old = {id(b) for b in (begun.stands | begun.kept | begun.moved).values()}
    standing, broken = tidied(reviser.standing, min(effort, 1.0), watch, old)
    to_come = begun.kept | begun.moved
    needless = frozenset(n for n, batch in to_come.items() if id(batch) in reviser.needless)
    return replace(begun, standing=standing, needless=needless), stopped or broken


def sown_anew(
    begun: Begun, relaxation: Relaxation, effort: float = 1.0, watch: Watch | None = None
) -> tuple[Begun, bool]:
    """Search for the rest of the season as if nothing were planned; return it, whether stopped.

    What is sown stands, as do the gardener's own sowings to come. Where no less is missing then,
    it is the season of few changes all the same.
    """
    watch = watch or Watch()
    few, stopped = mend(begun, relaxation, effort, watch)
    if stopped:
        return few, True
    instance = begun.book.instance
    search = Search(instance, relaxation)
    search.first = few.standing.score(), dict(few.standing.batches)
    fixed = {n: batch for n, batch in few.standing.batches.items() if batch.fixed}
    search.standing = standing_of(instance, fixed)
    stopped = sought(search, effort, watch)
    if search.standing.score().felt > few.standing.score().felt - SAME:
        return few, stopped
    return replace(begun, standing=search.standing, kept=_as_they_were(begun, search)), stopped


def _as_they_were(begun: Begun, search: Search) -> dict[str, Batch]:
    """Return the sowings to come that stand just as planned though they were planned anew."""
    found = {batch: batch for batch in search.standing.batches.values()}
    return {name: found[batch] for name, batch in begun.kept.items() if batch in found}


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
