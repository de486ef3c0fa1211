"""The handing over itself: from a plan, its diary and its garden file, all that goes on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from sowplan.problem import Exit, Problem
from sowplan.records.crop import Crop
from sowplan.records.diary import Entry
from sowplan.records.garden import FixedSowing, Garden, Past
from sowplan.records.garden_file.next_season import StillWanted, moved_days, next_season
from sowplan.season.carried.behind import resting, stays, still_wanted
from sowplan.season.carried.change import Change
from sowplan.season.carried.standing import left_standing, standing
from sowplan.season.plan import Plan
from sowplan.season.revise.happened import happened_to
from sowplan.season.revise.regrown import Regrown
from sowplan.season.revise.stood import state_on


@dataclass(frozen=True)
class Carried:
    """What is handed on.

    Parameters
    ----------
    sowings : tuple of FixedSowing
        What stands, by place and day, with the plants that are left; ``where`` is the row of the
        old garden file where the gardener had settled it, empty otherwise.
    past : tuple of Past
        The last stay of each family in each bed, of crops that have to rest.
    still : tuple of StillWanted
        What is left of wants that go on beyond the new season's first day, of crops that stand.
    left_out : tuple of str
        What stands by the plan and cannot be handed on, and why.
    resting : dict of str to tuple of str
        By family, the crops wanted for which every bed like those they stood in has to rest.
    """

    sowings: tuple[FixedSowing, ...]
    past: tuple[Past, ...]
    still: tuple[StillWanted, ...]
    left_out: tuple[str, ...]
    resting: dict[str, tuple[str, ...]]


def carried(
    plan: Plan,
    garden: Garden,
    crops: dict[str, Crop],
    entries: Sequence[Entry] = (),
    diary: str = "",
    start: date | None = None,
) -> tuple[Carried | None, list[Problem]]:
    """Return what a season hands on to the next one (`next_season`).

    Where the diary is silent the plan counts as followed, to the day before the new season.

    Parameters
    ----------
    plan : Plan
        The season's.
    garden : Garden
        Its garden file.
    crops : dict of str to Crop
        The crop table, rested as the garden file says.
    entries : sequence of Entry
        The diary's.
    diary : str
        Its file, for the problems.
    start : date, optional
        First day of the next season where it takes over sooner (`next_season`). All that is still
        wanted of the old one is then its business.

    Returns
    -------
    carried : Carried or None
        None where there are problems.
    problems : list of Problem
        A plan of another garden or season, and what in the diary cannot be.
    """
    season = next_season(garden.season, start)
    last = max([season.start, *(entry.day for entry in entries)])
    happened, problems = happened_to(entries, plan, diary, last)
    problems = [*_other_season(plan, garden), *_unknown_crops(plan, garden, crops), *problems]
    if problems:
        return None, problems
    regrown = Regrown(garden, crops, season.start, plan.safety)
    state = state_on(plan, happened, season.start, regrown, regrown.fewer)
    wanted: dict[str, list[tuple[date, date]]] = {}
    for want in garden.wants:
        wanted.setdefault(want.crop, []).append(moved_days(want, garden.season, season))
    change = Change(garden, crops, season, state, wanted)
    left, rest = left_standing(plan, change)
    sowings, ids, left_out = standing(change, left, plan.safety)
    past = stays(change, ids)
    lasting = {one.crop for one in sowings} if start is None else set(wanted)
    still = still_wanted(change, lasting, rest)
    return Carried(sowings, past, still, left_out, resting(plan, change, past)), []


def _other_season(plan: Plan, garden: Garden) -> Iterator[Problem]:
    there, here = plan.site, garden.site
    far = abs(there.latitude - here.latitude) + abs(there.longitude - here.longitude)
    if there.start != garden.season.start or far > 0.02:
        found = str(garden.season.start) if far <= 0.02 else here.name
        message = (
            f"the plan is of {there.name} from {there.start}. Name the garden file it was made "
            "from, or its plan folder with --plan."
        )
        yield Problem(garden.file, None, "[season], start", found, message, Exit.IMPOSSIBLE)


def _unknown_crops(plan: Plan, garden: Garden, crops: Mapping[str, Crop]) -> Iterator[Problem]:
    for key in sorted({p.crop for p in plan.plantings} - crops.keys()):
        message = "the plan has sowings of it, and the crop table knows it no more."
        yield Problem(garden.file, None, "crops", key, message, Exit.IMPOSSIBLE)
