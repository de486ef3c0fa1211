"""What a revision changed: the sowings to come that are not as they were, and what stands now."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

from sowplan.records.garden import Garden
from sowplan.season.plan import HARVEST_DAYS, Plan, Planting
from sowplan.season.revise.renamed import as_called_now, new_names
from sowplan.season.revise.stood import Gone, meet

Kind = Literal["changed", "new", "dropped", "forecast", "standing", "gone"]

FORECAST = frozenset(
    "emergence harvest_start harvest_start_early harvest_start_late harvest_end lots "
    "stands_on".split()
)
"""What may differ in a planting without anything being done otherwise."""
CRUMB = 1e-6
NO_ROOM = "its ground, its trays or its day is no longer there for it"
NEEDLESS = "nothing it would bring is wanted now"
UNWANTED = "no longer wanted"
OTHERWISE = "the garden file has it otherwise now"
HAD_TO = (NO_ROOM, NEEDLESS, UNWANTED, OTHERWISE)
"""Why a sowing to come is dropped that nobody chose to drop."""
ANEW = "planned anew from"
"""How the method of a plan begins of which all that was still to be sown was planned afresh."""
SAME_DAYS = 1
"""Clearing so many days sooner or later, as the harvest is over, is nothing done otherwise."""


@dataclass(frozen=True)
class Change:
    """One planting that is not as it was in the old plan.

    ``changed``, ``new`` and ``dropped`` are sowings to come, ``had_to`` where they could not have
    stayed as they were; of ``forecast`` only the expected dates are others. ``standing`` is sown
    and grows otherwise than planned, ``gone`` was sown (or should have been) and is no more.
    """

    kind: Kind
    before: Planting | None
    after: Planting | None
    why: str = ""
    had_to: bool = False

    @property
    def planting(self) -> Planting:
        """Return the planting, as it now is where it is."""
        found = self.after or self.before
        assert found is not None
        return found


@dataclass(frozen=True)
class Changes:
    """All that a revision changed; ``coming`` is how many sowings the old plan had to come.

    Of those, ``many`` are not as they were. What is ``added`` changes nothing that the gardener had
    planned, and is counted apart: a sowing in a bed that came along, or for what was lost.
    ``renamed`` has the old and new names of places and trays that are called otherwise now.
    """

    today: date
    coming: int
    changes: tuple[Change, ...]
    renamed: tuple[tuple[str, str], ...] = ()

    def of(self, *kinds: Kind) -> tuple[Change, ...]:
        """Return the changes of some kinds, in the order of days."""
        return tuple(change for change in self.changes if change.kind in kinds)

    @property
    def many(self) -> int:
        """Return how many of the sowings to come are moved, resized, sown otherwise or dropped."""
        return len(self.of("changed", "dropped"))

    @property
    def had_to(self) -> int:
        """Return how many of those the garden file or what stands leaves no choice about."""
        return sum(change.had_to for change in self.changes)

    @property
    def added(self) -> int:
        """Return how many sowings come in addition to those that were to come."""
        return len(self.of("new"))


def changes_between(
    old: Plan,
    new: Plan,
    today: date,
    gone: Sequence[Gone] = (),
    garden: Garden | None = None,
) -> Changes:
    """Return what differs between a plan and its revision on a day.

    What was cleared once all that is wanted of it had been had is as planned, on whatever day.

    Parameters
    ----------
    old, new : Plan
        The plan before, and as it now is.
    today : date
        First day that could still be decided on.
    gone : sequence of Gone
        What of the old plan is no more, or could not stay as it was, and why.
    garden : Garden, optional
        As it now is: the new plan keeps places that are no more, for what stood there.
    """
    names = new_names(old, garden) if garden is not None else None
    if names is not None:
        old = as_called_now(old, names)
    before = {p.id: p for p in old.plantings}
    after = {p.id: p for p in new.plantings}
    lost = {one.planting.id: one for one in gone}
    coming = {p.id for p in old.plantings if p.sow >= today}
    coming -= {p.id for p in new.plantings if p.sow < today}
    found = [
        replace(change, had_to=_had_to(change, old, new, today, garden))
        for change in _of_old(before.values(), after, lost, coming)
    ]
    given = [_given(plan) for plan in (old, new)]
    found = [change for change in found if not _cleared_in_time(change, *given)]
    found += [Change("new", None, p) for p in new.plantings if p.id not in before]
    found.sort(key=lambda c: (c.planting.sow, c.planting.id))
    return Changes(today, len(coming), tuple(found), names.told if names is not None else ())


def _of_old(before: Iterable[Planting], after, lost, coming) -> Iterable[Change]:
    for p in before:
        now = after.get(p.id)
        if now is None:
            why = lost[p.id].why if p.id in lost else ""
            dropped = p.id in coming and why != "not sown"
            yield Change("dropped" if dropped else "gone", p, None, why)
        elif now != p and p.id not in coming:
            yield Change("standing", p, now)
        elif now != p:
            why = lost[p.id].why if p.id in lost else ""
            yield Change("forecast" if done_alike(p, now) else "changed", p, now, why)


def _had_to(change: Change, old: Plan, new: Plan, today: date, garden: Garden | None) -> bool:
    """Return whether a sowing to come has no place or tray any more, or what stands is in its way.

    The gardener's own has changed as the garden file has.
    """
    was = change.before
    if was is None or change.kind not in ("changed", "dropped"):
        return False
    here = {p.name: p for p in new.places}
    if garden is not None:
        here = {place.name: here[place.name] for place in garden.places}
    if was.fixed or change.why in HAD_TO or here.get(was.place) != old.place(was.place):
        return True
    if was.tray is not None and was.tray not in {tray.name for tray in new.trays}:
        return True
    into = was.occupies_from
    return any(
        (p.sow < today or p.fixed)
        and p.occupies_from < was.cleared
        and into < p.cleared
        and meet(p, was)
        for p in new.plantings
    )


def done_alike(was: Planting, now: Planting) -> bool:
    """Return whether two plantings differ in expected dates only, not in what is to be done."""
    if abs((was.cleared - now.cleared).days) > SAME_DAYS:
        return False
    expected = {field: getattr(was, field) for field in (*FORECAST, "cleared")}
    return replace(now, **expected) == was


def cleared_sooner(was: Planting, now: Planting) -> bool:
    """Return whether two plantings differ only in that one of them was cleared sooner."""
    fields = {"cleared", "harvest_end", "lots", "stands_on"}
    if was.in_vain:  # of which the days of harvest are those of clearing
        fields |= {*HARVEST_DAYS}
    ended = {field: getattr(was, field) for field in fields}
    return now.cleared < was.cleared and replace(now, **ended) == was


def _cleared_in_time(change: Change, given_before, given_now) -> bool:
    """Return whether all that was wanted of a planting had been had when it was cleared."""
    was, now = change.before, change.after
    if change.kind != "standing" or was is None or now is None or not cleared_sooner(was, now):
        return False
    return given_now.get(now.id, 0.0) >= given_before.get(was.id, 0.0) - CRUMB


def _given(plan: Plan) -> dict[str, float]:
    """Return what each planting gives to what is wanted, by id."""
    given: dict[str, float] = {}
    for want in plan.wants:
        for name, amount in want.served_by:
            given[name] = given.get(name, 0.0) + amount
    return given
