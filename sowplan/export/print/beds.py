"""The beds on a month's sheets: which are drawn, which named, and in which pictures."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from datetime import date

from sowplan.export.pictures.bed_day import arrange, below_on, scale_for, told_on
from sowplan.export.pictures.lettering import legible
from sowplan.export.pictures.standing import on_day, standing
from sowplan.export.pictures.words import day_month_year
from sowplan.export.print.months import BEDS_HEAD_MM, LARGER, MARGINS_MM, beds_day
from sowplan.season.plan import Plan, PlanPlace
from sowplan.supply.wording import names_text

BEDS_WIDTH, BEDS_TALLEST = 720.0, 820.0
MANY_PLACES, FEW_FREE = 12, 3


def many_places(plan: Plan) -> bool:
    """Tell whether places are so many that their pictures stand close to one another."""
    return len(plan.places) > MANY_PLACES


def note_beds(plan: Plan, month: dict, across_mm: float, down_mm: float) -> None:
    """Note which places a month's sheet shows, in which pictures, and how tall these would be."""
    first = date.fromisoformat(month["month"])
    day = beds_day(plan, first)
    plan = on_day(plan, day)
    month |= {"beds_day": day.isoformat(), "beds": [], "free": ""}
    if first > plan.site.end:
        return
    shown, month["free"] = beds_shown(plan, day)
    mm, px_per_m = (across_mm - MARGINS_MM) / BEDS_WIDTH, scale_for(plan, BEDS_WIDTH)
    tallest = (down_mm - MARGINS_MM - BEDS_HEAD_MM) / mm

    def picture(n: int, names: list[str]) -> dict[str, object]:
        there = told_on(plan, day, [plan.place(name) for name in names])
        return {
            "file": f"beds-{first.isoformat()}-{n}.svg",
            "alt": legible(f"The beds on {day_month_year(day)}. {there}"),
            "places": names,
        }

    def deal(below_mm: float, page_mm: float, by: float) -> list[dict[str, object]]:
        rooms = below_mm / mm, page_mm / mm
        dealt = _onto(plan, [plan.place(name) for name in shown], day, px_per_m * by, *rooms)
        return [picture(n, names) for n, names in enumerate(dealt, start=1)]

    for n, names in enumerate(beds_pages(plan, shown, tallest, day), start=1):
        places = [plan.place(name) for name in names]
        high_mm = {by: _beds_high(plan, day, places, px_per_m * by) * mm for by in LARGER}
        month["beds"].append(picture(n, names) | {"high_mm": high_mm})
    month["deal"] = deal


def beds_shown(plan: Plan, day: date) -> tuple[list[str], str]:
    """Return the places a month's sheet draws, and words for those that stand free.

    Where places are many, or half of them free, the free ones are only named; where all are free
    none is drawn.
    """
    names = [place.name for place in plan.places]
    free = [name for name in names if not standing(plan, name, day)]
    if len(free) == len(names):
        return [], "Nothing stands in any place on this day."
    idle = len(free) >= FEW_FREE and 2 * len(free) >= len(names)
    if not free or not (idle or many_places(plan)):
        return names, ""
    return [name for name in names if name not in free], f"Free: {names_text(free)}."


def beds_pages(
    plan: Plan,
    shown: Sequence[str] | None = None,
    tallest: float = BEDS_TALLEST,
    day: date | None = None,
) -> list[list[str]]:
    """Return the places shown (all otherwise) in groups whose pictures are at most so tall [px].

    ``day`` is the day drawn; without one, no place has more than its frame. Beds are drawn a little
    smaller than usual where that brings all of them into one picture.
    """
    scale = scale_for(plan, BEDS_WIDTH)
    chosen = plan.places if shown is None else [plan.place(name) for name in shown]
    if any(_beds_high(plan, day, chosen, scale * by) <= tallest for by in LARGER if by <= 1):
        return [[place.name for place in chosen]] if chosen else []
    pages = _onto(plan, chosen, day, scale, tallest, tallest)
    return [page for page in pages if page]


def _onto(
    plan: Plan, places: Sequence[PlanPlace], day: date | None, px_per_m: float,
    first: float, tallest: float,
) -> list[list[str]]:  # fmt: skip
    """Return places in groups whose pictures are at most so tall [px], the first and the others.

    The first is empty where there is no room for any in it; each other has a place at least.
    """
    below = below_on(plan, day, places, BEDS_WIDTH, px_per_m) if day else {}
    groups: list[list[str]] = []
    rest = list(places)
    while rest or not groups:

        def high(many: int, its: Sequence[PlanPlace] = rest) -> float:
            return arrange(its[:many], BEDS_WIDTH, px_per_m, below, many_places(plan))[1]

        room = tallest if groups else first
        fit = bisect_right(range(1, len(rest) + 1), room, key=high)
        fit = max(fit, 1) if groups else fit
        groups.append([place.name for place in rest[:fit]])
        rest = rest[fit:]
    return groups


def _beds_high(plan: Plan, day: date | None, places: Sequence[PlanPlace], px_per_m: float) -> float:
    """Return how tall a picture of places on a day is [px]."""
    below = below_on(plan, day, places, BEDS_WIDTH, px_per_m) if day else {}
    return arrange(places, BEDS_WIDTH, px_per_m, below, many_places(plan))[1]
