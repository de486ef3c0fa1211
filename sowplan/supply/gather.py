"""Like jobs of one day as one task: what a person does in one go, one line and one tick."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta

from sowplan.season.plan import Plan
from sowplan.supply.buying import how_to_buy, what_for
from sowplan.supply.ground import Ground, grounds
from sowplan.supply.hardening import hardened
from sowplan.supply.harvesting import amount_words
from sowplan.supply.raising import in_tray, thinned
from sowplan.supply.shared import Said, told_once
from sowplan.supply.task import ORDER, Task
from sowplan.supply.wording import by_number, count_text, day_text, join_words, names_text, one_line

DAY = timedelta(days=1)
FEW = 6
"""So many crops are sown, bought or planted out as one task; of more each is a task of its own."""

Going = dict[str, tuple[Ground, date]]  # by planting: its ground, and the day it is planted out

TO_FAIL = frozenset({"sow", "buy", "pot on", "harden off", "plant out"})
BY_CROP = frozenset({"sow", "buy", "pot on", "plant out"})


def gathered(plan: Plan, jobs: Iterable[Task]) -> tuple[Task, ...]:
    """Return jobs with like ones of one day together, in the order of days and of work.

    Of what stands even so they are told apart, and say so in their titles, wherever these are read.
    """
    jobs = tuple(jobs)
    in_vain = {p.id for p in plan.plantings if p.in_vain}
    together: dict[tuple[object, ...], list[Task]] = {}
    for one in jobs:
        verb = one.title.split()[0] if one.kind == "sow" else ""  # garlic is planted, not sown
        last = one.until if one.kind == "harden off" else one.day
        vain = one.kind in TO_FAIL and one.planting in in_vain
        together.setdefault((one.day, one.kind, verb, last, vain), []).append(one)
    for key, group in list(together.items()):
        if key[1] in BY_CROP and len({one.crop for one in group}) > FEW:
            for one in together.pop(key):
                together.setdefault((*key, one.crop), []).append(one)
    names = {crop.key: one_line(crop.name) for crop in plan.crops}
    out = {one.planting: one.day for one in jobs if one.kind == "plant out"}
    going = {g.planting.id: (g, out[g.planting.id]) for g in grounds(plan) if g.planting.id in out}
    found = []
    for key, group in together.items():
        task = _together(group, names, going, plan) if len(group) > 1 else group[0]
        vain = key[4]
        found.append(replace(task, title=f"{task.title} (bound to fail)") if vain else task)
    return tuple(sorted(found, key=_order))


def _order(task: Task) -> tuple[object, ...]:
    place, name = by_number(task.place), by_number(task.id)
    return task.day, ORDER.index(task.kind), place, task.crop, name


def _together(group: list[Task], names: dict[str, str], going: Going, plan: Plan) -> Task:
    """Return several jobs as one task."""
    parts = tuple(sorted(group, key=lambda one: (names[one.crop], _order(one))))
    lead = min(parts, key=lambda one: one.id)
    crops, places = {one.crop for one in parts}, {one.place for one in parts}
    ends = [one.until for one in parts]
    lasting = lead.kind in ("harden off", "protect")
    return Task(
        id=lead.id,
        kind=lead.kind,
        day=lead.day,
        until=max(ends) if lasting else min(ends),
        planting=lead.planting,
        crop=crops.pop() if len(crops) == 1 else "",
        place=places.pop() if len(places) == 1 else "",
        title=_harvest(parts, plan) if lead.kind == "harvest" else _title(parts, names),
        details=_details(parts, names, going),
        size=sum(one.size for one in parts),
        parts=parts,
    )


def _title(parts: tuple[Task, ...], names: dict[str, str]) -> str:
    """Return ``"Clear Radish (Wall box) and Rocket (Step box)"``, ``"Thin Kale: Shelf"``."""
    kind, verb = parts[0].kind, parts[0].title.split()[0]
    crops = list(dict.fromkeys(names[one.crop] for one in parts))
    places = list(dict.fromkeys(one_line(one.place) for one in parts if one.place))
    if kind == "harden off":
        return f"Harden off {join_words(crops)} until {day_text(parts[0].until + DAY)}"
    if kind == "protect":
        return f"Frost watch {join_words(crops)}"
    if kind == "buy":
        told = [f"{sum(o.size for o in parts if names[o.crop] == name)} {name}" for name in crops]
        return f"Buy {join_words(told)} plants"
    if kind == "thin":
        return f"Thin {join_words(crops)}" + (f": {names_text(places)}" if len(crops) == 1 else "")
    if kind in ("clear", "take off"):
        told = [f"{name} ({_places(parts, name, names)})" for name in crops]
        one = f"{crops[0]}: {names_text(places)}"
        what = "Clear" if kind == "clear" else "Take off overgrown"
        return f"{what} {join_words(told) if len(crops) > 1 else one}"
    if len(crops) == 1:
        return _of_one_crop(parts, crops[0], names_text(places))
    told = [_one_of_many(parts, name, names) for name in crops]
    return f"{verb if kind == 'sow' else kind.capitalize()} {join_words(told)}"


def _harvest(parts: tuple[Task, ...], plan: Plan) -> str:
    """Return ``"Harvest 3 Butterhead lettuce, 300 g Spinach"``: each crop once, added up."""
    much: dict[tuple[str, str], float] = {}
    for one in parts:
        key = one.crop, one.unit
        much[key] = much.get(key, 0.0) + sum(amount for _, amount in one.takes)
    crops = {crop.key: crop for crop in plan.crops}
    told = [amount_words(n, unit, crops[key], plan.site.units) for (key, unit), n in much.items()]
    return f"Harvest {', '.join(told)}"


def _one_of_many(parts: tuple[Task, ...], name: str, names: dict[str, str]) -> str:
    """Return ``"Radish (Wall box)"``, ``"Rocket (8 cells)"``, ``"6 Swiss chard (Door pots)"``."""
    mine = tuple(one for one in parts if names[one.crop] == name)
    number = sum(one.size for one in mine)
    if mine[0].kind == "sow":
        in_tray = all(one.size for one in mine)
        return f"{name} ({count_text(number, 'cell') if in_tray else _places(mine, name, names)})"
    return f"{number} {name} ({_places(mine, name, names)})"


def _of_one_crop(parts: tuple[Task, ...], name: str, places: str) -> str:
    """Return ``"Sow Swiss chard: 45 cells, Shelf"``, ``"Plant out 9 Swiss chard: Wall box"``."""
    number = sum(one.size for one in parts)
    if parts[0].kind == "sow":
        much = f"{count_text(number, 'cell')}, " if all(one.size for one in parts) else ""
        return f"{parts[0].title.split()[0]} {name}: {much}{places}"
    verb = "Plant out" if parts[0].kind == "plant out" else "Pot on"
    return f"{verb} {number} {name}: {places}"


def _places(parts: tuple[Task, ...], name: str, names: dict[str, str]) -> str:
    return names_text(
        list(dict.fromkeys(one_line(one.place) for one in parts if names[one.crop] == name))
    )


def _details(parts: tuple[Task, ...], names: dict[str, str], going: Going) -> str:
    """Return a paragraph a part, beginning with what it is about; what parts share is told once.

    Of one crop in one tray there is one paragraph, whichever places it is for.
    """
    if parts[0].kind == "buy":
        return _to_buy(parts, names, going)
    trays: dict[tuple[str, str], list[tuple[Ground, date]]] = {}
    for one in parts:
        if _in_tray(one, going):
            ground, out = going[one.planting]
            then = replace(ground, planting=ground.planting.on(one.day))
            trays.setdefault((one.crop, one.place), []).append((then, out))
    said = []
    for one in parts:
        sown = trays.get((one.crop, one.place), []) if _in_tray(one, going) else []
        says = _of_one_tray(one, sown) if len(sown) > 1 else one.says
        name, heading = names[one.crop], _heading(one, names)
        if _in_tray(one, going):
            if any(two.crop == one.crop and not _in_tray(two, going) for two in parts):
                name = f"{name} in cells"  # others of it are in the ground
            heading = name
        said.append(Said(name, heading, says))
    return "\n".join(told_once(said, across=parts[0].kind != "harvest"))


def _of_one_tray(one: Task, sown: list[tuple[Ground, date]]) -> tuple[str, ...]:
    """Return what is said of a part and all others of its crop in the same tray."""
    if one.kind == "thin":
        says = thinned(sown)
    elif one.kind == "harden off":
        says = hardened(sown, one.says[1:-1])
    else:
        says = in_tray(sown)
    return tuple(filter(None, says))


def _to_buy(parts: tuple[Task, ...], names: dict[str, str], going: Going) -> str:
    """Return a paragraph a crop, then what to look for in all of them."""
    mine: dict[str, list[Ground]] = {}
    for one in parts:
        mine.setdefault(names[one.crop], []).append(going[one.planting][0])
    lines = [f"{name}: {what_for(there)}" for name, there in mine.items()]
    every = [ground for there in mine.values() for ground in there]
    return "\n".join([*lines, " ".join(how_to_buy(every, parts[0].day))])


def _in_tray(one: Task, going: Going) -> bool:
    """Return whether a part is work on seedlings in a tray, which has one text for all of them."""
    if one.planting not in going:
        return False
    if one.kind == "thin":
        return going[one.planting][0].planting.tray is not None
    return one.kind == "harden off" or (one.kind == "sow" and one.size > 0)


def _heading(one: Task, names: dict[str, str]) -> str:
    """Return what a part of a task is about, to stand before its details."""
    if one.what:
        return one.what
    name = names[one.crop]
    if one.kind in ("harden off", "pot on", "protect"):
        return name
    number = f"{one.size} " if one.kind == "plant out" else ""
    return f"{number}{name}, {one.title.split(': ', 1)[-1]}"
