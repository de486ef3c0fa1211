"""The ids of harvests: what the diary calls them, and which plantings they are of."""

from __future__ import annotations

import re
from datetime import date

from sowplan.season.plan import Plan


def harvest_ids(plan: Plan) -> dict[tuple[int, date], str]:
    """Return the id of the harvest for each period, by the want's number and the period's start.

    It is the crop and the day of the season on which the period begins, so that it outlives a
    change of dates; of a crop's further wants it has the want's place among them as well:
    ``"radish:harvest-29"``, ``"radish:want-2-harvest-29"``.
    """
    order: dict[str, list[int]] = {}
    for number, crop in sorted({(w.want, w.crop) for w in plan.wants}):
        order.setdefault(crop, []).append(number)
    found = {}
    for want in plan.wants:
        number = order[want.crop].index(want.want) + 1
        which = "" if number == 1 else f"want-{number}-"
        day = (want.start - plan.site.start).days + 1
        found[want.want, want.start] = f"{want.crop}:{which}harvest-{day}"
    return found


def harvested_from(plan: Plan) -> dict[str, dict[str, float]]:
    """Return the ids of the plantings that each harvest's period is served by, by its own id.

    Each planting has the share of the harvest that is of it.
    """
    ids = harvest_ids(plan)
    return {
        ids[want.want, want.start]: {name: amount / want.met for name, amount in want.served_by}
        for want in plan.wants
    }


def without_number(name: str) -> str:
    """Return the id of a period's first harvest for that of its second, third and so on."""
    return re.sub(r"(:(?:want-\d+-)?harvest-\d+)-\d+$", r"\1", name)
