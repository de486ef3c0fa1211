"""Harvests told as they are asked for: by weight, and in bunches where they are picked so."""

from __future__ import annotations

from sowplan.season.plan import Plan, PlanCrop
from sowplan.supply.wording import amount_text


def weighed(plan: Plan) -> frozenset[str]:
    """Return the crops whose every want is by weight, though they are counted when picked."""
    units: dict[str, set[str]] = {}
    for want in plan.wants:
        units.setdefault(want.crop, set()).add(want.unit)
    counted = {crop.key for crop in plan.crops if crop.harvest_unit != "kg"}
    return frozenset(crop for crop, asked in units.items() if asked == {"kg"} and crop in counted)


def harvest_text(amount: float, crop: PlanCrop, by_weight: bool, units: str) -> str:
    """Return an amount in the crop's harvest unit: ``"9 heads"``, or ``"300 g (3 bunches)"``.

    Parameters
    ----------
    amount : float
        In the crop's harvest unit.
    crop : PlanCrop
        The crop.
    by_weight : bool
        Whether it is wanted by weight (see `weighed`).
    units : {"metric", "imperial"}
        Of the garden.
    """
    counted = amount_text(amount, crop.harvest_unit, units)
    if not by_weight:
        return counted
    return f"{amount_text(amount / crop.units_in('kg'), 'kg', units)} ({counted})"
