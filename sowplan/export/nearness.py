"""How far a plan can be from the best there is, in percentage points, and how that is known."""

from __future__ import annotations

from sowplan.season.plan import Plan, Quality

SHORTLY = "reckoned as if all beds of a kind were one"
"""How the bound is had, where there is little room; `Quality.bound_by` says it in full."""


def near_told(plan: Plan) -> str:
    """Return in one sentence how near the best a plan is; nothing where nothing is wanted."""
    q = plan.quality
    if q.wanted <= 0:
        return ""
    if is_best(q):
        return f"No plan can bring more of what is wanted, {SHORTLY}."
    points = f"at most {_points(q)} percentage points from the best there can be"
    return f"The plan is {points}, {SHORTLY}."


def distance_told(q: Quality) -> str:
    """Return what is missing, what would be missing from any plan, and how far these lie apart."""
    if is_best(q):
        return "no plan can bring more of what is wanted."
    missing, least = 100 * q.missing_share, 100 * q.missing_share_bound
    return (
        f"{missing:.2f} % of what is wanted is missing, at least {least:.2f} % would be missing "
        f"from any plan, so it is at most {_points(q)} percentage points from the best."
    )


def is_best(q: Quality) -> bool:
    """Return whether it is known that no plan brings more."""
    return q.proven or q.missing_share <= q.missing_share_bound


def _points(q: Quality) -> str:
    points = 100 * (q.missing_share - q.missing_share_bound)
    return f"{points:.2f}" if points >= 0.005 else "0.01"
