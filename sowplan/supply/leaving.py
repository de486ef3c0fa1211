"""Before days away: what must not be left to itself, told on the eve.

Seedlings in cells dry out within two or three days, pots in summer as soon; a reservoir lasts as
long as it lasts. Who waters meanwhile is the gardener's to ask; here is what they are asked for.
What nobody picks meanwhile overgrows: it is picked before, however small.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from sowplan.season.plan import Plan, Planting
from sowplan.supply.task import Task
from sowplan.supply.water import PlaceWater, water
from sowplan.supply.water.weeks import WEEK_DAYS
from sowplan.supply.water.words import LITTLE_L, water_amount
from sowplan.supply.wording import by_number, count_text, days_text, join_words, one_line, word

# Common practice, no source.
DRY_AFTER_DAYS = 3  # away for so many days, cells and pots have to be watered by somebody
OFTEN_DAYS = 2  # in summer pots are watered every other day
BEDS_NAMED = 12
"""Of more beds than these it is told what they want together; water.csv has each."""
EASILY_HAD = 0.1
"""Share of a pot's mix that crops drink before they are watered again: about half the water that
is easily had from it, so that a dry and warm week does no harm."""


def leaving(plan: Plan, out: dict[str, date]) -> Iterator[Task]:
    """Yield for each time away the job of its eve: whom to ask for what.

    Parameters
    ----------
    plan : Plan
        Any plan.
    out : dict of str to date
        The day on which each raised planting is planted out.

    Yields
    ------
    Task
        Of no planting; its id tells the number of the time away. None where nothing stands
        meanwhile, or nobody is there the day before.
    """
    for number, (first, last) in enumerate(dict.fromkeys(plan.site.away), 1):
        eve = first - timedelta(days=1)
        there = plan.site.start <= eve and not any(a <= eve <= b for a, b in plan.site.away)
        if not there or _days((first, last)) < DRY_AFTER_DAYS:
            continue
        raised = [p for p in plan.plantings if p.sow <= eve and first < out.get(p.id, p.sow)]
        stands = [
            p for p in plan.plantings if out.get(p.id, p.occupies_from) <= eve and first < p.cleared
        ]
        asked, potted = _pots(plan, stands, (first, last))
        beds, bedded = _beds(plan, stands, (first, last))
        before = [*bedded, *potted]
        watered = [*_trays(plan, raised), *asked, *beds, *_reservoirs(plan, stands, (first, last))]
        words = [*watered, *before, *_picked(plan, stands, (first, last))]
        if not words:
            continue
        when = days_text(first, last)
        somebody = (first, last) in plan.site.watered
        title = f"Before you go: ask somebody to water, {when}"
        if somebody:
            title = f"Before you go: tell whoever waters, {when}"
        elif not watered:
            which = join_words([*["beds"] * bool(bedded), *["pots"] * bool(potted)])
            what = f"water the {which}" if before else "pick all that is ready"
            title = f"Before you go: {what}, {when}"
        who = "Somebody waters" if somebody else "Nobody is there"
        text = " ".join([f"{who} {when}.", *words])
        yield Task(f"away-{number}:leave", "leave", eve, eve, "", "", "", title, text)


def _picked(plan: Plan, stands: list[Planting], away: tuple[date, date]) -> list[str]:
    """Return what is to be picked before, or meanwhile, so that it goes on."""
    names = {crop.key: one_line(crop.name) for crop in plan.crops}
    again = {crop.key for crop in plan.crops if crop.harvest != "once"}
    stands = [p for p in stands if p.crop in again]  # what is lifted once gives no more for it
    last = away[1]
    if away in plan.site.picked:
        found = [
            p for p in stands if p.harvest_start <= last and any(lot.ready > last for lot in p.lots)
        ]
        says = "Let them pick and cut {} for themselves: then there is more."
    else:
        soon = last + timedelta(days=DRY_AFTER_DAYS + (WEEK_DAYS if plan.site.harvest_on else 0))
        found = [p for p in stands if any(last < day <= soon for day in p.overgrown)]
        says = "Pick and cut {} before, small ones too: what is left on overgrows."
    if not found:
        return []
    return [says.format(join_words(sorted({names[p.crop] for p in found})))]


def _trays(plan: Plan, raised: list[Planting]) -> list[str]:
    """Return what stands in trays, a sentence a tray."""
    names = {crop.key: one_line(crop.name) for crop in plan.crops}
    found = []
    for tray in plan.trays:
        mine = [p for p in raised if p.tray == tray.name]
        if mine:
            crops = sorted({names[p.crop] for p in mine})
            cells = count_text(sum(p.cells for p in mine), "cell")
            found.append(
                f"{one_line(tray.name)}: {cells} of {join_words(crops)}, water every two or three "
                "days."
            )
    return found


def _days(away: tuple[date, date]) -> int:
    return (away[1] - away[0]).days + 1


def _drunk(plan: Plan, one: PlaceWater, away: tuple[date, date]) -> tuple[float, float]:
    """Return what crops drink in a time away, and what rain brings [l].

    Days of it beyond the season, of which nothing is reckoned, are taken as those within.
    """
    within = away[0], max(min(away[1], plan.site.end), away[0])
    need, rain = one.between(*within)
    return need * _days(away) / _days(within), rain * _days(away) / _days(within)


def _pots(plan: Plan, stands: list[Planting], away: tuple[date, date]) -> tuple[list, list]:
    """Return how often pots want water meanwhile, and those that hold on if watered on the eve.

    As often as they drink `EASILY_HAD` of their mix in those days of a usual year, were there no
    rain; where that is not reckoned, every other day.
    """
    reservoirs = {place.name for place in plan.places if place.reservoir_l}
    pots = {p.place for p in stands if p.kind == "pot" and p.place not in reservoirs}
    drinks = {one.place.name: one for one in water(plan)}
    days = _days(away)
    often: dict[int, list[str]] = {}
    for name in sorted(pots, key=by_number):
        every, need = OFTEN_DAYS, 0.0
        if name in drinks:
            need, _ = _drunk(plan, drinks[name], away)
            many = len({slot for p in stands if p.place == name for slot in p.slots})
            has = EASILY_HAD * drinks[name].place.volume_l * many
            every = max(OFTEN_DAYS, min(int(has * days / need), days) if need > 0 else days)
        much = f" ({_a_week(plan, need, days)} a week)" if need > LITTLE_L else ""
        often.setdefault(every, []).append(f"{one_line(name)}{much}")
    asked = [
        f"{join_words(names)}: every other day, daily in heat."
        if every == OFTEN_DAYS
        else f"{join_words(names)}: every {every} days, more often in heat."
        for every, names in sorted(often.items())
        if every < days
    ]
    holds = [name.split(" (")[0] for name in often.get(days, [])] if days > OFTEN_DAYS else []
    before = f"Water {join_words(holds)} well before you go: that lasts." if holds else ""
    return asked, [before] if before else []


def _beds(plan: Plan, stands: list[Planting], away: tuple[date, date]) -> tuple[list, list]:
    """Return what beds without a reservoir want meanwhile, and which hold on if watered before.

    A bed watered well holds on for some days, not for a week (common practice, no source). Where
    the usual rain is enough nobody is asked.
    """
    used = {p.place for p in stands if p.kind == "bed"}
    weeks = _days(away) / WEEK_DAYS
    drinks: dict[str, tuple[float, float]] = {}  # a week, by usual rain and without any
    for one in water(plan):
        need, rain = _drunk(plan, one, away)
        if one.place.name in used and not one.place.reservoir_l and need - rain > LITTLE_L * weeks:
            drinks[one_line(one.place.name)] = (need - rain) / weeks, need / weeks
    if weeks < 1:
        words = f"Water {join_words(list(drinks))} well before you go: that lasts."
        return [], [words] if drinks else []
    if len(drinks) > BEDS_NAMED:
        usual, dry = (sum(both) for both in zip(*drinks.values(), strict=True))
        drinks = {f"{len(drinks)} beds, together": (usual, dry)}
    asked = []
    for name, both in drinks.items():
        usual, dry = (water_amount(litres, plan.site.units) for litres in both)
        rainless = f", {dry} if no rain comes" if dry != usual else ""
        asked.append(f"{name}: {usual} a week{rainless}.")
    return asked, []


def _a_week(plan: Plan, litres: float, days: int) -> str:
    """Return what so many litres in so many days are a week."""
    return water_amount(litres / days * WEEK_DAYS, plan.site.units)


def _reservoirs(plan: Plan, stands: list[Planting], away: tuple[date, date]) -> list[str]:
    """Return which reservoirs are filled on the eve and for how long that lasts without rain.

    And which channels must keep running, on how much.
    """
    used = {p.place for p in stands}
    drinks = {one.place.name: _drunk(plan, one, away)[0] for one in water(plan)}
    days = _days(away)
    words = []
    full, running = (
        [one_line(p.name) for p in plan.places if p.name in used and which(p)]
        for which in (lambda p: p.reservoir_l, lambda p: p.kind == "channel")
    )
    if full:
        words.append(f"Fill the {word('reservoir', len(full))} of {join_words(full)}.")
    for p in plan.places:
        need = drinks.get(p.name, 0.0)
        if p.name in used and p.reservoir_l and need > p.reservoir_l:
            lasts = max(1, int(p.reservoir_l * days / need))
            words.append(
                f"{one_line(p.name)} lasts about {count_text(lasts, 'day')} if no rain comes, then "
                f"wants {_a_week(plan, need, days)} a week."
            )
    if running:
        much = sum(drinks.get(p.name, 0.0) for p in plan.places if p.kind == "channel")
        told = f", about {_a_week(plan, much, days)} a week" if much > LITTLE_L else ""
        words.append(f"See that the film in {join_words(running)} has enough to run on{told}.")
    return words
