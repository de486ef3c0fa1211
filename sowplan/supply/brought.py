"""Harvests whose amounts the gardener counted: what came, beside what the plan has of it.

Revising takes them as had (`sowplan.season.revise.left`); what is learnt from them begins here.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from sowplan.records.diary import Entry
from sowplan.season.plan import Plan
from sowplan.supply.tasks import jobs
from sowplan.supply.wording import amount_text, day_text, one_line

FAR_TIMES = 3.0
"""So many times what the plan has, and a count is more likely a slip (common practice, no source:
good years bring half as much again, hardly ever thrice)."""


@dataclass(frozen=True)
class Brought:
    """One counted harvest; amounts in the crop's harvest ``unit``.

    ``planned`` is what the plan has of that harvest or, where the sowing alone is named, of all its
    harvests; None where the plan knows it no more.
    """

    entry: Entry
    crop: str
    amount: float
    planned: float | None
    unit: str

    @property
    def is_far(self) -> bool:
        """Whether it is so much more than planned that it may be a slip."""
        return self.planned is not None and self.amount > FAR_TIMES * self.planned


def brought(plan: Plan, entries: Iterable[Entry]) -> tuple[Brought, ...]:
    """Return the harvests of a diary whose amounts were counted, in its order."""
    counted = [e for e in entries if e.what == "harvested" and e.number is not None]
    if not counted:
        return ()
    crops = {crop.key: crop for crop in plan.crops}
    planned: dict[str, tuple[str, float]] = {}
    for p in plan.plantings:
        planned[p.id] = p.crop, sum(lot.amount for lot in p.lots)
    for job in jobs(plan):
        if job.kind == "harvest":
            much = sum(amount for _, amount in job.takes)
            planned[job.id] = job.crop, much * crops[job.crop].units_in(job.unit)
    found = []
    for entry in counted:
        assert entry.number is not None
        key, much = planned.get(entry.about, (_crop_of(plan, entry.planting), None))
        if key in crops:
            unit = crops[key].harvest_unit
            found.append(Brought(entry, one_line(crops[key].name), entry.number, much, unit))
    return tuple(found)


def _crop_of(plan: Plan, name: str) -> str:
    """Return the crop of a planting, or of a harvest, that the plan knows no more."""
    keys = {crop.key for crop in plan.crops}
    return name if name in keys else name.rpartition("-")[0]


def brought_words(plan: Plan, entries: Iterable[Entry]) -> str:
    """Return what is done with the counted harvests of a diary, and which may be slips."""
    found = brought(plan, entries)
    if not found:
        return ""
    many = "1 harvest" if len(found) == 1 else f"{len(found)} harvests"
    words = (
        f"The amounts of {many} are kept in the diary. Revising goes by them: what was not brought "
        "in of a sowing is still to come, and what was lost is told with --lost."
    )
    for one in found:
        if one.is_far:
            words += f" Is this right? {_told(plan, one)}."
    return words


def _told(plan: Plan, one: Brought) -> str:
    """Return ``"99 bunches Rocket on 5 February (rocket-2), 4 bunches planned"``."""
    units = plan.site.units
    assert one.planned is not None
    return (
        f"{amount_text(one.amount, one.unit, units)} {one.crop} on "
        f"{day_text(one.entry.day, weekday=False)} ({one.entry.about}), "
        f"{amount_text(one.planned, one.unit, units)} planned"
    )
