"""What a season leaves behind: stays that the rotation has to know, wants not yet met."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta

from sowplan.records.garden import Past
from sowplan.records.garden_file.next_season import StillWanted
from sowplan.season.carried.change import DAY, Change
from sowplan.season.carried.standing import NOWHERE
from sowplan.season.periods import want_periods
from sowplan.season.plan import Plan, Planting

FEW_OF_WANT = 0.05  # less than so much of what is wanted is not asked for again


def still_wanted(
    change: Change, standing: set[str], rest: Mapping[int, float]
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


def stays(change: Change, standing: set[str]) -> tuple[Past, ...]:
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


def _ends(change: Change, standing: set[str]) -> Iterator[tuple[Planting, date]]:
    """Yield each batch that is no more, and the last day it stood in its place."""
    for p in change.state.stands:
        if p.id not in standing:
            yield p, min(p.cleared, change.day) - DAY
    for one in change.state.gone:
        p = one.planting
        if one.why != "not sown" and (p.planting_out or p.sow) < one.day:
            yield p, min(one.day, change.day - DAY)


def resting(plan: Plan, change: Change, past: Sequence[Past]) -> dict[str, tuple[str, ...]]:
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
