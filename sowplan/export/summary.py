"""The season in words: a plain text to read through once."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from sowplan.export.dates import FEW_DAYS, day_told, days_of_month, days_told, months
from sowplan.export.headline import headline, what_there_is
from sowplan.export.helps import helps_told
from sowplan.export.hours import hours_told
from sowplan.export.nearness import bound_told, distance_told
from sowplan.export.sky_words import sky_told
from sowplan.export.wanted import LITTLE, by_want, lacks_told, want_heading
from sowplan.quantity import format_length, format_volume, wrapped
from sowplan.season.plan import Plan, PlanPlace, Planting
from sowplan.season.words import SEED, in_list, propagule
from sowplan.supply.advice import cautions
from sowplan.supply.buying import plants_to_buy
from sowplan.supply.following import follow_ons
from sowplan.supply.ground import grounds
from sowplan.supply.seed import seed_needs, tray_use
from sowplan.supply.tasks import days_of
from sowplan.supply.weighed import harvest_text, weighed
from sowplan.supply.wording import (
    UNDER,
    count_text,
    day_text,
    indoors_text,
    join_words,
    month_text,
    one_line,
    percent_text,
)

WIDTH = 78


def summary(plan: Plan) -> str:
    """Return the whole season as plain text, lines at most 78 characters wide.

    Parameters
    ----------
    plan : Plan
        Any plan.

    Returns
    -------
    str
        Ends with a line feed; the same for the same plan.
    """
    site = plan.site
    first, last = (day_text(d, weekday=False, year=True) for d in (site.start, site.end))
    there = _wrap(what_there_is(plan), "")
    title = one_line(site.name)
    head = [*_wrap(title, ""), "=" * min(len(title), WIDTH), f"{first} to {last}", *there]
    parts = [
        head,
        _section("In short", _bullets(headline(plan))),
        _section("What is wanted, and what of it comes", _wants(plan)),
        _section("What one thing more would bring", helps_told(plan, WIDTH)),
        _section("Notes", _bullets(plan.notes)),
        _section("Seed and trays", _seed(plan)),
        _section("Young plants to buy, by the day they are planted out", _to_buy(plan)),
        _section("Month by month", _months(plan)),
        _section("Place by place", _places(plan)),
        _section("Hours of work", _bullets(hours_told(plan))),
        _section("The sky here", _bullets(sky_told(plan))),
        _section("How good this plan is, and how that is known", _bullets(_quality(plan))),
        _section("Mind", _bullets(cautions(plan))),
    ]
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


# --- wants -------------------------------------------------------------------


def _wants(plan: Plan) -> list[str]:
    lines: list[str] = []
    for periods in by_want(plan):
        lines += _wrap(want_heading(plan, periods), "- ")
        for text in lacks_told(plan, periods):
            lines += _wrap(text, "    ")
    return lines or ["Nothing is wanted."]


# --- months, places ----------------------------------------------------------


def _months(plan: Plan) -> list[str]:
    found = months(plan.site.start, plan.site.end)
    return [line for month, following in found for line in _month(plan, month, following)]


def _month(plan: Plan, first: date, following: date) -> list[str]:
    """Return one month: what is sown, planted out and harvested, by crop, with the days."""

    def here(day: date | None) -> bool:
        return day is not None and max(first, plan.site.start) <= day < following

    names = {crop.key: one_line(crop.name) for crop in plan.crops}
    sown: dict[str, list[int]] = {}
    set_: dict[str, list[int]] = {}  # cloves, tubers
    out: dict[str, list[int]] = {}
    amounts: dict[str, float] = {}
    for p in sorted(plan.plantings, key=lambda p: (p.sow, p.id)):
        if here(p.sow) and not p.bought:
            seed = propagule(plan.crop(p.crop)) == SEED or p.tray is not None
            (sown if seed else set_).setdefault(names[p.crop], []).append(p.sow.day)
        if p.planting_out and here(p.planting_out):
            out.setdefault(names[p.crop], []).append(p.planting_out.day)
        for lot in p.lots:
            if here(lot.ready):
                amounts[p.crop] = amounts.get(p.crop, 0.0) + lot.amount
    by_weight, units = weighed(plan), plan.site.units
    ready = sorted(
        f"{names[key]} {harvest_text(amount, plan.crop(key), key in by_weight, units)}"
        for key, amount in amounts.items()
    )
    lines = [month_text(first)]
    jobs = (("Sow", _on_days(sown)), ("Plant", _on_days(set_)), ("Plant out", _on_days(out)))
    for label, items in (*jobs, ("Ready", ready)):
        if items:
            lines += _wrap(f"{', '.join(items)}.", f"  {label:<10} ", " " * 13)
    if len(lines) > 1:
        return lines
    few = days_of_month(plan, first, following) < FEW_DAYS
    return [] if few else [*lines, "  Nothing to sow, plant out or harvest."]


def _on_days(days: dict[str, list[int]]) -> list[str]:
    """Return ``["Radish 3rd and 19th"]``."""
    return [
        f"{name} {join_words([_ordinal(day) for day in sorted(set(at))])}"
        for name, at in sorted(days.items())
    ]


def _ordinal(day: int) -> str:
    ending = "th" if 10 < day % 100 < 14 else {1: "st", 2: "nd", 3: "rd"}.get(day % 10, "th")
    return f"{day}{ending}"


def _places(plan: Plan) -> list[str]:
    """Return what stands where from when to when, and what comes onto its ground next."""
    by_id = {ground.planting.id: ground for ground in grounds(plan)}
    out, cleared = (days_of(plan, kind) for kind in ("plant out", "clear"))
    lines: list[str] = []
    for place, stays in zip(plan.places, follow_ons(plan).values(), strict=True):
        lines += _wrap(f"{one_line(place.name)}: {_described(place, plan)}", "")
        for one in stays:
            p, ground = one.planting, by_id[one.planting.id]
            begins, ends = out.get(p.id, p.occupies_from), cleared.get(p.id, p.last_day)
            stay = days_told(plan, begins, ends)
            text = f"{stay}: {p.plants} {one_line(ground.crop.name)}, {ground.part}"
            lines += _wrap(f"{text}{_then(plan, p, one.after, out)}", "  ", "      ")
        if not stays:
            lines.append("  Nothing stands here.")
    return lines


def _then(plan: Plan, before: Planting, after: tuple[Planting, ...], out: dict[str, date]) -> str:
    """Return ``"; then Kale from 8 November"``: what follows on the same ground."""
    told: dict[str, date] = {}
    for p in after:
        name = in_list(one_line(plan.crop(p.crop).name))
        name = f"{name} again" if p.crop == before.crop else name
        told.setdefault(name, out.get(p.id, p.occupies_from))
    words = [f"{name} from {day_told(plan, day)}" for name, day in told.items()]
    return f"; then {join_words(words)}" if words else ""


def _described(place: PlanPlace, plan: Plan) -> str:
    units = plan.site.units
    under = UNDER.get(place.cover, "")
    if place.indoors is not None:
        under = f", {indoors_text(place.indoors, units)}; water not reckoned"
    if place.kind == "channel":
        gap = format_length(place.hole_spacing_m, units)
        return f"a channel of {place.holes} holes, {gap} apart{under}."
    if place.kind == "pot":
        return f"{count_text(place.count, 'pot')} of {format_volume(place.volume_l, units)}{under}."
    sides = [format_length(side, units) for side in (place.length_m, place.width_m)]
    water = f", reservoir {format_volume(place.reservoir_l, units)}" if place.reservoir_l else ""
    return f"a bed of {sides[0]} by {sides[1]}{water}{under}."


# --- seed, sky, quality --------------------------------------------------------


def _seed(plan: Plan) -> list[str]:
    lines: list[str] = []
    for n in seed_needs(plan):
        times = count_text(n.sowings, "sowing" if n.what == "seeds" or n.cells else "planting")
        text = f"{one_line(n.name)}: {n.seeds_in_hand} {n.what} for {times}"
        cells = f", {count_text(n.cells, 'cell')} in all" if n.cells else ""
        lines += _wrap(f"{text}{cells}; first {day_told(plan, n.first_sowing)}.", "- ")
    for use in tray_use(plan):
        if use.day is None:
            lines += _wrap(f"{one_line(use.tray)}: not used.", "- ")
        else:
            full = f"at its fullest {use.most} of {use.cells} cells, {day_text(use.day)}"
            lines += _wrap(f"{one_line(use.tray)}: {full}.", "- ")
    return lines


def _to_buy(plan: Plan) -> list[str]:
    """Return what is planted out that is bought, a line a day."""
    told: dict[date, list[str]] = {}
    for need in plants_to_buy(plan):
        told.setdefault(need.out, []).append(f"{need.plants} {in_list(one_line(need.name))}")
    return [
        line
        for out, plants in told.items()
        for line in _wrap(f"{day_told(plan, out)}: {join_words(plants)}.", "- ")
    ]


def _quality(plan: Plan) -> list[str]:
    q = plan.quality
    lines = [
        f"How the plan was found: {one_line(q.method)}.",
        f"How near the best it is: {distance_told(q)}",
        bound_told(q),
    ]
    if q.wasted_share > LITTLE:
        more = percent_text(q.wasted_share)
        lines.append(f"{more[0].upper()}{more[1:]} of the harvest is more than was asked for.")
    lines.append(
        "Dates are forecasts from usual weather. A harvest can come earlier or later: "
        "tasks and tables give the range."
    )
    return lines


# --- setting -------------------------------------------------------------------


def _section(title: str, lines: list[str]) -> list[str]:
    return [title, "-" * len(title), *lines] if lines else []


def _bullets(texts: Iterable[str]) -> list[str]:
    return [line for text in texts for line in _wrap(one_line(text), "- ")]


def _wrap(text: str, first: str, rest: str | None = None) -> list[str]:
    indent = " " * len(first) if rest is None else rest
    return wrapped(text, WIDTH, first, indent)
