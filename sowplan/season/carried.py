"""What a season hands on to the next: what stands when that begins, and what stood where before."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from sowplan.growth.reasons import day_words
from sowplan.problem import Exit, Problem
from sowplan.records.crop import Crop
from sowplan.records.diary import Entry
from sowplan.records.garden import FixedSowing, Garden, Past, Raising, Season, Where
from sowplan.records.garden_file.next_season import StillWanted, moved_days, next_season
from sowplan.season.days import plants_per_unit
from sowplan.season.periods import want_periods
from sowplan.season.plan import Plan, Planting
from sowplan.season.revise.happened import happened_to
from sowplan.season.revise.regrown import Regrown
from sowplan.season.revise.stood import State, state_on
from sowplan.season.settled import cannot_be

DAY = timedelta(days=1)
NOWHERE = Where("", "", None)
SAME_SOWING_DAYS = 45
"""So far from its day in the garden file a sowing may have been made and still be the same."""
FEW = 0.5  # less than half a plant left is none
FEW_OF_WANT = 0.05  # less than so much of what is wanted is not asked for again
SOON_DAYS = 14
"""What is wanted again so soon is not cleared in between (common practice, no source)."""
LAST_DAYS = 7
"""What is cleared in so many last days of a season may be so because the plan ends there."""


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


@dataclass(frozen=True)
class _Change:
    """A garden at the change of its seasons: ``wanted`` has, by crop, its days in the next."""

    garden: Garden
    crops: dict[str, Crop]
    season: Season
    state: State
    wanted: dict[str, list[tuple[date, date]]]

    @property
    def day(self) -> date:
        return self.season.start

    def goes_on(self, p: Planting) -> bool:
        """Return whether a batch is wanted again, or still, about when the plan has it cleared."""
        spans = self.wanted.get(p.crop, ())
        gone = max(p.cleared, self.day)
        return any(a <= gone + timedelta(days=SOON_DAYS) and gone <= b for a, b in spans)

    def is_open(self, p: Planting) -> bool:
        """Return whether the plan's day of clearing says nothing of how long a batch gives.

        It goes on, or is cut or picked and cleared so soon after the change, and in the plan's last
        days, that the plan may have had it go for its own end only.
        """
        again = self.crops[p.crop].harvest != "once"
        soon = p.cleared <= self.day + timedelta(days=LAST_DAYS)
        return p.stands_on or (again and soon and self.at_its_end(p))

    def at_its_end(self, p: Planting) -> bool:
        """Return whether the plan clears a batch in its last days: not for what follows on it."""
        return p.cleared > self.garden.season.end - timedelta(days=LAST_DAYS)

    def stands(self, p: Planting) -> bool:
        """Return whether a batch stands on the day of change, or would if the plan went on."""
        if p.cleared > self.day or p.stands_on:
            return True
        late = p.cleared >= self.day - timedelta(days=LAST_DAYS)
        return late and self.at_its_end(p) and self.goes_on(p)


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
    change = _Change(garden, crops, season, state, wanted)
    left, rest = _left(plan, change)
    sowings, ids, left_out = _standing(change, left, plan.safety)
    past = _stays(change, ids)
    lasting = {one.crop for one in sowings} if start is None else set(wanted)
    still = _still_wanted(change, lasting, rest)
    return Carried(sowings, past, still, left_out, _resting(plan, change, past)), []


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


def _left(plan: Plan, change: _Change) -> tuple[dict[str, int], dict[int, float]]:
    """Return how many plants of each batch stand, and what of begun periods is still to come.

    What serves a period that has begun before the day of change counts as brought in, as far as it
    was fit by then. The rest of a period under way is told by want, in its unit.
    """
    stands = {p.id: p for p in change.state.stands}
    fit = {p.id: _fit_plants(p, change) for p in change.state.stands}
    had: dict[str, float] = {}
    rest: dict[int, float] = {}
    for period in plan.wants:
        if period.start >= change.day:
            continue
        each = plants_per_unit(change.crops[period.crop], period.unit)
        for name, amount in period.served_by:
            if name in stands:
                now = min(amount * each, fit[name])
                fit[name] -= now
                had[name] = had.get(name, 0.0) + now
                if period.end >= change.day:
                    later = amount - now / each
                    rest[period.want] = rest.get(period.want, 0.0) + later
    left = {}
    for name, p in stands.items():
        gone = had.get(name, 0.0) if change.crops[p.crop].harvest == "once" else 0.0
        if change.stands(p) and p.plants - gone >= FEW:
            left[name] = round(p.plants - gone)
    return left, rest


def _fit_plants(p: Planting, change: _Change) -> float:
    """Return the plants' yield of a batch that was fit to bring in before the day of change."""
    fit = sum(lot.amount for lot in p.lots if lot.ready < change.day)
    return fit / change.crops[p.crop].units_per_plant


def _standing(
    change: _Change, left: Mapping[str, int], safety: float
) -> tuple[tuple[FixedSowing, ...], set[str], tuple[str, ...]]:
    """Return what stands as sowings, the ids of its batches, and what cannot be handed on."""
    garden = change.garden
    order = [place.name for place in garden.places]
    found: dict[tuple, FixedSowing] = {}
    batches: dict[tuple, list[Planting]] = {}
    told = []
    for p in (p for p in change.state.stands if p.id in left):
        crop = change.crops[p.crop]
        if p.place not in order:
            told.append(f"{left[p.id]} {crop.name}: {p.place} is no more.")
            continue
        key = (order.index(p.place), p.sow, p.crop, p.raising, p.cover)
        many = left[p.id] + (found[key].plants if key in found else 0)
        goes_on = not p.in_vain and (change.goes_on(p) or change.is_open(p))
        until = None if goes_on else p.cleared - DAY
        if until is not None and key in found and found[key].until is not None:
            until = max(until, found[key].until)  # of several strips the last
        where = _row_of(p, change.state.was.get(p.id, p), garden)
        how = (p.place, _raising(p, crop), until, bool(p.in_vain), p.cover)
        found[key] = FixedSowing(p.crop, p.sow, many, where, *how)
        batches.setdefault(key, []).append(p)
    keys = sorted(found)
    handed = [(found[key], batches[key]) for key in keys]
    handed, refused = _placed(handed, left, change, safety)
    kept, ids = [], set()
    for n, (one, mine) in enumerate(handed):
        if n not in refused:
            kept.append(one)
            ids |= {p.id for p in mine}
        elif any(p.cleared > change.day for p in mine):  # else the plan has cleared it
            told.append(f"{one.plants} {change.crops[one.crop].name} in {one.place}: {refused[n]}")
    return tuple(kept), ids, tuple(told)


_Handed = list[tuple[FixedSowing, list[Planting]]]


def _placed(
    handed: _Handed, left: Mapping[str, int], change: _Change, safety: float
) -> tuple[_Handed, dict[int, str]]:
    """Return the sowings as the next season can begin with them, and which it cannot, and why.

    Where one finds no room, what stands in its place is cleared when the plan has it so, strip by
    strip: for what follows there. What stands and gives nothing more until then stands even so.
    """
    refused = _refused(handed, change, safety)
    if not refused:
        return handed, {}
    full = {handed[n][0].place for n in refused}
    shorter = [
        part
        for one in handed
        for part in (_by_the_plan(*one, left, change) if one[0].place in full else [one])
    ]
    still = _refused(shorter, change, safety)
    if _plants(shorter, still) < _plants(handed, refused):
        handed, refused = shorter, still
    ends = {n: max(p.cleared for p in handed[n][1]) - DAY for n in refused}
    here = {n: min(p.occupies_from for p in handed[n][1]) < change.day <= ends[n] for n in refused}
    even_so = [
        (replace(one, until=ends[n], even_so=True) if here.get(n) else one, mine)
        for n, (one, mine) in enumerate(handed)
    ]
    still = _refused(even_so, change, safety) if any(here.values()) else refused
    if _plants(handed, still) < _plants(handed, refused):
        handed = [handed[n] if n in still else one for n, one in enumerate(even_so)]
        refused = still
    told = {n: problem.message for n, problem in refused.items()}
    return handed, told | {n: _stands_there(ends[n]) for n in refused if here.get(n)}


def _plants(handed: _Handed, numbers: Iterable[int]) -> int:
    return sum(handed[n][0].plants for n in numbers)


def _by_the_plan(
    one: FixedSowing, mine: list[Planting], left: Mapping[str, int], change: _Change
) -> _Handed:
    """Return a sowing in as many parts as the plan has days on which it clears some of it.

    As it is where one of them has gone by, or is but the plan's end.
    """
    if any(p.cleared <= change.day or p.stands_on for p in mine):
        return [(one, mine)]
    parts: dict[date, list[Planting]] = {}
    for p in mine:
        parts.setdefault(p.cleared, []).append(p)
    return [
        (replace(one, plants=sum(left[p.id] for p in part), until=day - DAY), part)
        for day, part in sorted(parts.items())
    ]


def _stands_there(until: date) -> str:
    return (
        f"it stands there until {day_words(until)}, and no room was found for it beside the rest: "
        "see to it yourself."
    )


def _raising(p: Planting, crop: Crop) -> Raising | None:
    """Return how a batch was raised, where a sowing that does not say would be read otherwise."""
    usual = "in trays" if crop.usually_raised else "direct"
    return None if p.raising == usual else p.raising


def _row_of(p: Planting, was: Planting, garden: Garden) -> Where:
    """Return the gardener's own sowing that a batch is of, nowhere where the plan chose it."""
    rows = [
        (abs((row.day - was.sow).days), n)
        for n, row in enumerate(garden.sowings)
        if p.fixed and row.crop == p.crop and row.place in (None, p.place)
    ]
    apart, number = min(rows, default=(SAME_SOWING_DAYS + 1, -1))
    return garden.sowings[number].where if apart <= SAME_SOWING_DAYS else NOWHERE


def _refused(handed: _Handed, change: _Change, safety: float) -> dict[int, Problem]:
    """Return the numbers of sowings that the next season cannot begin with, and why."""
    tried = tuple(
        replace(one, where=Where("", f"sowing {n}", None)) for n, (one, _) in enumerate(handed)
    )
    new = replace(change.garden, season=change.season, wants=(), sowings=tried, past=())
    problems = cannot_be(new, change.crops, safety)
    return {int(p.where.split(",")[0].split()[-1]): p for p in problems}


def _still_wanted(
    change: _Change, standing: set[str], rest: Mapping[int, float]
) -> tuple[StillWanted, ...]:
    """Return what is left of the wants of crops that stand, to the day before next year's begin.

    A period that has begun before the change is the old season's, but for what of it cannot have
    been brought in by then (``rest``, by want).
    """
    garden, found = change.garden, []
    for number, want in enumerate(garden.wants):
        periods = want_periods(want, garden.season.away) if want.crop in standing else []
        spans = change.wanted[want.crop]
        under_way = [last for first, last in periods if first < change.day <= last]
        once = len(periods) == 1  # and next year's is another harvest, else it goes on in those
        if under_way and (once or not any(a <= change.day <= b for a, b in spans)):
            amount = rest.get(number, 0.0)
            if amount >= FEW_OF_WANT * want.amount:
                own = abs(amount - want.amount) < FEW_OF_WANT * want.amount
                few = (None, "") if own else (amount, want.unit)
                found.append(StillWanted(number, change.day, under_way[0], *few))
        start = next((first for first, _ in periods if first >= change.day), None)
        if start is not None and not any(first <= start <= last for first, last in spans):
            ends = [first - DAY for first, _ in spans if first > start]
            found.append(StillWanted(number, start, min([want.end, *ends])))
    return tuple(found)


def _stays(change: _Change, standing: set[str]) -> tuple[Past, ...]:
    """Return the last stay of each family in each bed, of what stands no more.

    Only crops with a rest of their own count as a family's turn: not a row of cress.
    """
    beds = [bed.name for bed in change.garden.beds]
    last: dict[tuple[int, str], date] = {}
    for p, until in _ends(change, standing):
        crop = change.crops[p.crop]
        if p.place in beds and crop.rotation_gap_months > 0:
            key = (beds.index(p.place), crop.family)
            last[key] = max(until, last.get(key, until))
    return tuple(
        Past(beds[bed], family, until, NOWHERE) for (bed, family), until in sorted(last.items())
    )


def _ends(change: _Change, standing: set[str]) -> Iterator[tuple[Planting, date]]:
    """Yield each batch that is no more, and the last day it stood in its place."""
    for p in change.state.stands:
        if p.id not in standing:
            yield p, min(p.cleared, change.day) - DAY
    for one in change.state.gone:
        p = one.planting
        if one.why != "not sown" and (p.planting_out or p.sow) < one.day:
            yield p, min(one.day, change.day - DAY)


def _resting(plan: Plan, change: _Change, past: Sequence[Past]) -> dict[str, tuple[str, ...]]:
    """Return the crops wanted for which every bed like those they stood in rests, by family."""
    garden, found = change.garden, {}
    covers = {bed.name: (bed.cover, bed.indoors) for bed in garden.beds}
    for key, spans in change.wanted.items():
        crop = change.crops[key]
        places = {p.place for p in plan.plantings if p.crop == key}
        kinds = {covers[place] for place in places if place in covers}
        if not kinds or places - covers.keys() or crop.rotation_gap_months <= 0:
            continue
        kept = [set(want.places or covers) for want in garden.wants if want.crop == key]
        open_ = {name for name in set().union(*kept) if covers.get(name) in kinds}
        rest = timedelta(days=crop.rotation_gap_days)
        shut = {
            one.place
            for one in (*past, *garden.past)
            if one.family == crop.family and one.until + rest >= max(last for _, last in spans)
        }
        if open_ <= shut:
            found.setdefault(crop.family, []).append(crop.name)
    return {family: tuple(names) for family, names in found.items()}
