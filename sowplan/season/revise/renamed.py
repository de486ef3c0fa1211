"""Places and trays that the garden file calls otherwise now: the same, under another name."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from difflib import SequenceMatcher
from typing import NamedTuple

from sowplan.records.garden import Garden
from sowplan.season.assemble import place_of
from sowplan.season.plan import Plan, PlanPlace, Planting, PlanTray


class NewNames(NamedTuple):
    """What places, and trays, of a plan are called now, by what they were called."""

    places: dict[str, str]
    trays: dict[str, str]

    @property
    def told(self) -> tuple[tuple[str, str], ...]:
        """Every old name with the new one."""
        return tuple({**self.places, **self.trays}.items())


def new_names(plan: Plan, garden: Garden) -> NewNames:
    """Return which places and trays of a plan have other names in the garden file.

    One is the same under another name where it is alike in kind and measures, and stands between
    the same others. What is taken out in one place of the file and put in at another is not.

    Parameters
    ----------
    plan : Plan
        As it was made.
    garden : Garden
        The garden file as it now is.
    """
    given_up = {place.name for place in plan.places if _given_up(plan, place.name)}
    was = [place for place in plan.places if place.name not in given_up]
    places = _paired(was, [place_of(place, None) for place in garden.places], _measures)
    trays = _paired(plan.trays, [PlanTray(t.name, t.cells) for t in garden.trays], _cells)
    return NewNames(
        {old: new for old, new in places.items() if new not in given_up},
        {old: new for old, new in trays.items() if not _names_any(plan, new)},
    )


def as_called_now(plan: Plan, names: NewNames) -> Plan:
    """Return a plan with its places and trays by their new names; itself where none is new."""
    if not (names.places or names.trays):
        return plan

    def called(p: Planting) -> Planting:
        tray = p.tray and names.trays.get(p.tray, p.tray)
        return replace(p, place=names.places.get(p.place, p.place), tray=tray)

    return replace(
        plan,
        places=tuple(replace(p, name=names.places.get(p.name, p.name)) for p in plan.places),
        trays=tuple(replace(t, name=names.trays.get(t.name, t.name)) for t in plan.trays),
        plantings=tuple(map(called, plan.plantings)),
        own_gone=tuple(replace(one, planting=called(one.planting)) for one in plan.own_gone),
    )


def _paired(was: Sequence, now: Sequence, alike) -> dict[str, str]:
    """Return the names of what stands in the stead of what was, and is alike but for the name."""
    names = [[one.name for one in some] for some in (was, now)]
    found: dict[str, str] = {}
    for what, a, b, c, d in SequenceMatcher(None, *names, autojunk=False).get_opcodes():
        if what == "replace" and b - a == d - c:
            for old, new in zip(was[a:b], now[c:d], strict=True):
                there = new.name in names[0] or old.name in names[1]
                if not there and alike(old) == alike(new):
                    found[old.name] = new.name
    return found


def _measures(place: PlanPlace) -> tuple:
    sides = round(place.length_m, 6), round(place.width_m, 6), round(place.edge_m, 6)
    return place.kind, *sides, place.holes, place.count, place.volume_l


def _cells(tray: PlanTray) -> int:
    return tray.cells


def _given_up(plan: Plan, name: str) -> bool:
    """Return whether a plan has a place only for what stood there before it was last revised."""
    mine = [p.cleared for p in plan.plantings if p.place == name]
    return bool(mine) and plan.revised is not None and max(mine) <= plan.revised


def _names_any(plan: Plan, tray: str) -> bool:
    return any(p.tray == tray for p in plan.plantings)
