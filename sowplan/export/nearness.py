"""How far a plan can be from the best there is, in percentage points, and how that is known."""

from __future__ import annotations

import math

from sowplan.season.plan import UNBOUNDED, Plan, Quality
from sowplan.supply.wording import one_line

SHORTLY = "reckoned as if all beds of a kind were one"
"""How the bound is had, where there is little room; `Quality.bound_by` says it in full."""


def near_told(plan: Plan) -> str:
    """Return in one sentence how near the best a plan is; nothing where nothing is wanted."""
    q = plan.quality
    if q.wanted <= 0:
        return ""
    if is_best(q):
        return f"No plan can bring more of what is wanted, {SHORTLY}."
    if q.bound_by == UNBOUNDED:
        return "How near it is to the best there can be was not worked out."
    points = f"at most {_points(q)} percentage points from the best there can be"
    return f"The plan is {points}, {SHORTLY}."


def distance_told(q: Quality) -> str:
    """Return what is missing, what would be missing from any plan, and how far these lie apart."""
    if is_best(q):
        return "no plan can bring more of what is wanted."
    missing, least = (n / 100 for n in _hundredths(q))
    return (
        f"{missing:.2f} % of what is wanted is missing, at least {least:.2f} % would be missing "
        f"from any plan, so it is at most {_points(q)} percentage points from the best."
    )


def bound_told(q: Quality) -> str:
    """Return in full how it is known what any plan must be missing."""
    return f"How it is known what could be had at most: {one_line(q.bound_by)}."


def is_best(q: Quality) -> bool:
    """Return whether it is known that no plan brings more."""
    return q.proven or q.missing_share <= q.missing_share_bound


def _points(q: Quality) -> str:
    """Return the most percentage points that may lie between a plan and the best."""
    missing, least = _hundredths(q)
    return f"{(missing - least) / 100:.2f}"


def _hundredths(q: Quality) -> tuple[int, int]:
    """Return what is missing, and from any plan, in hundredths of a percentage point.

    What is missing is rounded up and the bound down, so that what lies between them as they are
    told is never less than it is.
    """
    missing = math.ceil(1e4 * q.missing_share - 1e-6)
    return missing, math.floor(1e4 * q.missing_share_bound + 1e-6)
