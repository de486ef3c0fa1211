"""Harvests as tasks: how much of what is wanted, from where, how, and until when it is fit."""

from __future__ import annotations

from collections import defaultdict
from datetime import date, timedelta

from sowplan.season.harvest_ids import harvest_ids
from sowplan.season.plan import Plan, PlanCrop, Planting
from sowplan.supply.advice import cautions_of, how_to_harvest, how_to_keep
from sowplan.supply.ground import Ground
from sowplan.supply.picks import Pick, Portion
from sowplan.supply.task import Task
from sowplan.supply.wording import (
    WHOLE,
    amount_text,
    day_text,
    is_worth_telling,
    join_words,
    one_line,
)

# Common practice, no source.
STORED_DAYS = 21  # what keeps so long is stored, and not just kept fresh
NOW_DAYS = 7  # what is for meals within so many days is for now

Takes = tuple[tuple[str, float], ...]  # how much of each planting, by its id


def harvests(
    plan: Plan, grounds: tuple[Ground, ...], found: tuple[Pick, ...], left: dict
) -> tuple[Task, ...]:
    """Return a task a pick.

    Parameters
    ----------
    plan : Plan
        Any plan.
    grounds : tuple of Ground
        Where its plantings stand.
    found : tuple of Pick
        Its picks, in the order of days (`picks.picks`); of one without portions nothing is left.
    left : dict of (str, int) to float
        What nobody asked for, of each planting's lots (`picks.spare`).
    """
    standing = {ground.planting.id: ground for ground in grounds}
    crops = {crop.key: crop for crop in plan.crops}
    names = _Names(plan)
    words = _Words(plan, standing, found)
    last = {_lot(p): n for n, pick in enumerate(found) for p in pick.portions}
    tasks = []
    for n, pick in enumerate(found):
        name = names.of(pick)
        if not pick.portions:
            continue
        ends = {_lot(p): left[_lot(p)] for p in pick.portions if last[_lot(p)] == n}
        takes, unit = _takes(pick, crops[pick.crop])
        much = amount_words(sum(a for _, a in takes), unit, crops[pick.crop], plan.site.units)
        says = tuple(filter(None, words.of(pick, takes, unit, ends)))
        places = {standing[planting].place.name for planting, _ in takes}
        tasks.append(
            Task(
                id=name,
                kind="harvest",
                day=pick.day,
                until=pick.until,
                planting=takes[0][0],
                crop=pick.crop,
                place=places.pop() if len(places) == 1 else "",
                title=f"Harvest {much}",
                details=" ".join(says),
                says=says,
                what=much,
                takes=takes,
                unit=unit,
            )
        )
    return tuple(tasks)


def amount_words(amount: float, unit: str, crop: PlanCrop, units: str) -> str:
    """Return ``"3 Butterhead lettuce"``, ``"1 bunch Rocket"``, ``"300 g Spinach"``."""
    name, text = one_line(crop.name), amount_text(amount, unit, units)
    if unit in ("head", "piece", "plants"):
        return f"{text.split()[0]} {name}"
    return f"{text} {name}"


class _Names:
    """The ids of picks: of a want by its crop and the period's day, else by planting and lot."""

    def __init__(self, plan: Plan):
        self.ids = harvest_ids(plan)
        self.made: dict[str, int] = defaultdict(int)

    def of(self, pick: Pick) -> str:
        """Return a pick's id; the second pick of one period has a number behind it."""
        if pick.want is None:
            first = next(iter(pick.portions), None)
            return f"{first.planting.id}:harvest-{first.lot + 1}" if first else ""
        name = self.ids[pick.want.want, pick.want.start]
        self.made[name] += 1
        return name if self.made[name] == 1 else f"{name}-{self.made[name]}"


class _Words:
    """What is said of picks, told in the order of days: some of it at a lot's first alone."""

    def __init__(self, plan: Plan, standing: dict[str, Ground], found: tuple[Pick, ...]):
        self.units = plan.site.units
        self.crops = {crop.key: crop for crop in plan.crops}
        self.asked = {want.crop for want in plan.wants}
        self.standing = standing
        self.asked_of_lots = _asked_of_lots(found)
        self.begun: set[tuple[str, int]] = set()

    def of(self, pick: Pick, takes: Takes, unit: str, ends: dict[tuple[str, int], float]) -> list:
        """Return the sentences of the next pick; ``ends``: what is left of lots done with."""
        crop, units = self.crops[pick.crop], self.units
        unasked = pick.want is None and pick.crop in self.asked
        says = [
            _from_where(takes, unit, crop, self.standing, units),
            _when(pick),
            _late(pick, crop, unit, units),
            _to_keep(pick, crop, unit, units),
            _for_later(pick, crop, unit, units),
            _to_leave(pick, crop, unit, self.asked_of_lots),
            *_how(pick, crop, self.begun),
            *_more(pick, crop, ends if pick.want else {}, units),
            "Nobody asked for it this time." if unasked else "",
        ]
        self.begun |= {_lot(p) for p in pick.portions}
        return says


def _takes(pick: Pick, crop: PlanCrop) -> tuple[Takes, str]:
    """Return what a pick takes of each planting, in the want's unit or else the crop's own."""
    unit = pick.want.unit if pick.want else crop.harvest_unit
    scale = crop.units_in(unit)
    much: dict[str, float] = {}
    for p in pick.portions:
        much[p.planting.id] = much.get(p.planting.id, 0.0) + p.amount / scale
    ordered = sorted(much.items(), key=lambda item: (-round(item[1], 9), item[0]))
    return tuple((name, round(amount, 9)) for name, amount in ordered), unit


def _from_where(takes: Takes, unit: str, crop: PlanCrop, standing: dict[str, Ground], units) -> str:
    """Return ``"2 Wall box, 1 Step box."``, or the places alone where a share is a crumb."""
    if len(takes) == 1:
        return f"{standing[takes[0][0]].short}."
    places: dict[str, float] = {}
    for name, amount in takes:
        place = one_line(standing[name].place.name)
        places[place] = places.get(place, 0.0) + amount
    if len(places) == 1:
        parts = list(dict.fromkeys(standing[name].part for name, _ in takes))
        return f"{next(iter(places))}: {join_words(parts)}."
    if all(is_worth_telling(amount, unit) for amount in places.values()):
        shares = [f"{amount_text(a, unit, units)} {place}" for place, a in places.items()]
        if unit in ("head", "piece", "plants"):
            shares = [f"{round(amount)} {place}" for place, amount in places.items()]
        return f"{', '.join(shares)}."
    return f"{join_words(list(places))}."


def _when(pick: Pick) -> str:
    """Return from when to when it may be brought in, where that is more than the day itself.

    What is fit for longer than the meals it is for is not told as fit until these are over.
    """
    first, last = pick.soonest < pick.day, pick.until > pick.day
    if first and last:
        return f"Bring in from {day_text(pick.soonest)} to {day_text(pick.until)}."
    if first:
        return f"Bring in from {day_text(pick.soonest)}; not later than today."
    return f"Bring in by {day_text(pick.until)}." if last else ""


def _late(pick: Pick, crop: PlanCrop, unit: str, units) -> str:
    """Return what of it was wanted before, so that one who is there may pick it then."""
    late = [p for p in pick.portions if p.want is not None and p.want.end < pick.day]
    if not late:
        return ""
    amount = sum(p.amount for p in late) / crop.units_in(unit)
    if not is_worth_telling(amount, unit):
        return ""
    first = day_text(max(p.first for p in late))
    if len(late) == len(pick.portions):
        return f"It is for the days before: wanted from {first}."
    return f"{amount_text(amount, unit, units)} of it for the days before: wanted from {first}."


def _to_keep(pick: Pick, crop: PlanCrop, unit: str, units) -> str:
    """Return how much of a pick is for now, and how much is kept, how and until when.

    ``"1.5 kg for now, 12 kg to keep until about Sun 28 October, cool and moist."``
    """
    later = [p for p in pick.portions if p.want is not None and p.want.start > pick.day]
    later = [p for p in later if (p.want.start - pick.day).days > NOW_DAYS]
    scale = crop.units_in(unit)
    kept = sum(p.amount for p in later) / scale
    if crop.keeps_days < STORED_DAYS or not is_worth_telling(kept, unit):
        return ""
    now = sum(p.amount for p in pick.portions) / scale - kept
    last = min(max(p.want.end for p in later), pick.day + timedelta(days=int(crop.keeps_days)))
    until = f"to keep until about {day_text(last)}, {how_to_keep(crop)}"
    if not is_worth_telling(now, unit):
        return f"All of it {until}."
    return f"{amount_text(now, unit, units)} for now, {amount_text(kept, unit, units)} {until}."


def _for_later(pick: Pick, crop: PlanCrop, unit: str, units) -> str:
    """Return how much of a pick is eaten only when it can no longer be brought in."""
    last = pick.until + timedelta(days=int(crop.keeps_days))
    kept = [p for p in pick.portions if p.want and pick.until < p.want.start <= last]
    amount = sum(p.amount for p in kept) / crop.units_in(unit)
    if crop.keeps_days >= STORED_DAYS or not kept or not is_worth_telling(amount, unit):
        return ""
    first = day_text(min(p.want.start for p in kept))
    much = "All" if len(kept) == len(pick.portions) else amount_text(amount, unit, units)
    return f"{much} of it to keep for meals from {first}."


def _asked_of_lots(found: tuple[Pick, ...]) -> dict[tuple[str, int], list[tuple[date, float]]]:
    """Return, by lot, on which days how much of it is asked for, in the order of days."""
    asked: dict[tuple[str, int], dict[date, float]] = defaultdict(dict)
    for pick in found:
        for p in pick.portions:
            if p.want is not None:
                days = asked[_lot(p)]
                days[pick.day] = days.get(pick.day, 0.0) + p.amount
    return {lot: sorted(days.items()) for lot, days in asked.items()}


def _to_leave(pick: Pick, crop: PlanCrop, unit: str, asked_of_lots: dict) -> str:
    """Return how many are left for other days, of what is counted: ``"Leave 2 for Tue 2 May."``."""
    if unit not in WHOLE or crop.harvest == "pick" or pick.want is None:
        return ""
    later: dict[date, float] = defaultdict(float)
    for lot in dict.fromkeys(_lot(p) for p in pick.portions):
        for day, amount in asked_of_lots[lot]:
            if day > pick.day:
                later[day] += amount / crop.units_in(unit)
    told = [
        f"{round(amount)} for {day_text(day)}"
        for day, amount in sorted(later.items())
        if is_worth_telling(amount, unit)
    ]
    return f"Leave {join_words(told)}." if told else ""


def _how(pick: Pick, crop: PlanCrop, begun: set[tuple[str, int]]) -> list[str]:
    """Return how to harvest, told at a lot's first pick, and what to mind at a planting's."""
    new = [p for p in pick.portions if _lot(p) not in begun]
    advice: dict[str, list[str]] = {}
    texts: list[str] = []
    for p in new:
        lots = len(p.planting.lots)
        how = how_to_harvest(crop, p.lot + 1, lots)
        if crop.harvest == "pick" and len(new) > 1:
            how = how.split(": ", 1)[-1]
            how = how[0].upper() + how[1:]
        advice.setdefault(how, []).append(one_line(p.planting.place))
    first = [p.planting for p in new if not _begun(p.planting, begun)]
    if first:
        texts = [_early_or_late(first), *cautions_of(crop)]
    if len(advice) > 1:
        texts = [
            f"{join_words(list(dict.fromkeys(places)))}: {how[0].lower()}{how[1:]}"
            for how, places in advice.items()
        ] + texts
    else:
        texts = [*advice, *texts]
    return list(dict.fromkeys(texts))


def _begun(p: Planting, begun: set[tuple[str, int]]) -> bool:
    return any((p.id, lot) in begun for lot in range(len(p.lots)))


def _early_or_late(plantings: list[Planting]) -> str:
    """Return from when plantings first harvested on one day may be fit, in one sentence."""
    early = min(p.harvest_start_early for p in plantings)
    late = max(p.harvest_start_late for p in plantings)
    if early >= late:
        return ""
    first, last = day_text(early), day_text(late)
    return f"A forecast: from {first} in an early year, from {last} in a late one."


def _more(pick: Pick, crop: PlanCrop, ends: dict[tuple[str, int], float], units) -> list[str]:
    """Return what stands ready beyond what is wanted; ``ends``: what is left of lots done with."""
    if not is_worth_telling(sum(ends.values()), crop.harvest_unit):
        return []
    until = min(p.planting.lots[p.lot].last for p in pick.portions if _lot(p) in ends)
    much = amount_text(sum(ends.values()), crop.harvest_unit, units)
    return [f"{much} more than asked for, fit until {day_text(until)}."]


def _lot(portion: Portion) -> tuple[str, int]:
    return portion.planting.id, portion.lot
