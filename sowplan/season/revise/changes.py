"""What a revision changed: the sowings to come that are not as they were, and what stands now."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

from sowplan.season.plan import Plan, Planting
from sowplan.season.revise.stood import Gone

Kind = Literal["changed", "new", "dropped", "forecast", "standing", "gone"]

FORECAST = frozenset(
    "emergence harvest_start harvest_start_early harvest_start_late harvest_end lots "
    "stands_on".split()
)
"""What may differ in a planting without anything being done otherwise."""
CRUMB = 1e-6
SAME_DAYS = 1
"""Clearing so many days sooner or later, as the harvest is over, is nothing done otherwise."""


@dataclass(frozen=True)
class Change:
    """One planting that is not as it was in the old plan.

    ``changed``, ``new`` and ``dropped`` are sowings to come; of ``forecast`` only the expected
    dates are others. ``standing`` is sown and grows otherwise than planned, ``gone`` was sown (or
    should have been) and is no more.
    """

    kind: Kind
    before: Planting | None
    after: Planting | None
    why: str = ""

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
    """

    today: date
    coming: int
    changes: tuple[Change, ...]

    def of(self, *kinds: Kind) -> tuple[Change, ...]:
        """Return the changes of some kinds, in the order of days."""
        return tuple(change for change in self.changes if change.kind in kinds)

    @property
    def many(self) -> int:
        """Return how many of the sowings to come are moved, resized, sown otherwise or dropped."""
        return len(self.of("changed", "dropped"))

    @property
    def added(self) -> int:
        """Return how many sowings come in addition to those that were to come."""
        return len(self.of("new"))


def changes_between(old: Plan, new: Plan, today: date, gone: Sequence[Gone] = ()) -> Changes:
    """Return what differs between a plan and its revision on a day.

    What was cleared once all that is wanted of it had been had is as planned, on whatever day.
    """
    before = {p.id: p for p in old.plantings}
    after = {p.id: p for p in new.plantings}
    lost = {one.planting.id: one for one in gone}
    coming = {p.id for p in old.plantings if p.sow >= today}
    coming -= {p.id for p in new.plantings if p.sow < today}
    found = list(_of_old(before.values(), after, lost, coming))
    given = [_given(plan) for plan in (old, new)]
    found = [change for change in found if not _cleared_in_time(change, *given)]
    found += [Change("new", None, p) for p in new.plantings if p.id not in before]
    found.sort(key=lambda c: (c.planting.sow, c.planting.id))
    return Changes(today, len(coming), tuple(found))


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
            yield Change("forecast" if done_alike(p, now) else "changed", p, now)


def done_alike(was: Planting, now: Planting) -> bool:
    """Return whether two plantings differ in expected dates only, not in what is to be done."""
    if abs((was.cleared - now.cleared).days) > SAME_DAYS:
        return False
    expected = {field: getattr(was, field) for field in (*FORECAST, "cleared")}
    return replace(now, **expected) == was


def cleared_sooner(was: Planting, now: Planting) -> bool:
    """Return whether two plantings differ only in that one of them was cleared sooner."""
    ended = {
        field: getattr(was, field) for field in ("cleared", "harvest_end", "lots", "stands_on")
    }
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
