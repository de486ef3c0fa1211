"""What the page's script needs of a plan: days as numbers from the season's first, texts once."""

from __future__ import annotations

import json
from datetime import date

from sowplan.export.pictures.bed_day import stations
from sowplan.export.pictures.words import (
    bed_entry,
    place_size,
    plain,
    temperature,
    where_in_place,
)
from sowplan.season.plan import Plan, PlanPlace, Planting, SkyDay
from sowplan.supply.tasks import tasks
from sowplan.supply.wording import amount_text, count_text, percent_text


def page_data(plan: Plan, per_day: float) -> str:
    """Return the script's data.

    Parameters
    ----------
    plan : Plan
        A finished season.
    per_day : float
        Pixels a day of the season's picture.

    Returns
    -------
    str
        JSON without ``<``, fit to stand inside a script element.
    """
    start = plan.site.start
    todo = tasks(plan)
    texts = sorted({task.details for task in todo})
    place_of = {text: n for n, text in enumerate(texts)}
    sky = {day.day: day for day in plan.sky}
    days = (plan.site.end - start).days + 1
    data = {
        "id": plan.site.plan_id,
        "start": start.isoformat(),
        "days": days,
        "weekStart": plan.site.week_start,
        "perDay": round(per_day, 4),
        "tasks": [
            [t.id, (t.day - start).days, (t.until - start).days, t.title, place_of[t.details]]
            for t in todo
        ],
        "texts": texts,
        "sky": [_sky(sky.get(date.fromordinal(start.toordinal() + n)), plan) for n in range(days)],
        "places": [_place(place, plan.site.units) for place in plan.places],
        "plantings": [_planting(plan, p) for p in plan.plantings],
    }
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


def _sky(day: SkyDay | None, plan: Plan) -> str:
    """Return one day's sky in words; empty where the plan has none."""
    if day is None:
        return ""
    units = plan.site.units
    frost = f", frost {percent_text(day.frost_chance)}" if day.frost_chance >= 0.005 else ""
    night, noon = temperature(day.tmin_c, units), temperature(day.tmax_c, units)
    return f"day {plain(round(day.daylength_h, 1))} h, usually {night} to {noon}{frost}"


def _place(place: PlanPlace, units: str) -> dict[str, object]:
    found: dict[str, object] = {
        "name": place.name,
        "kind": place.kind,
        "size": place_size(place, units),
    }
    if place.kind == "bed":
        found |= {"length": place.length_m, "width": place.width_m, "edge": place.edge_m}
    else:
        found["slots"] = place.holes if place.kind == "channel" else place.count
    return found


def _planting(plan: Plan, p: Planting) -> dict[str, object]:
    crop, start = plan.crop(p.crop), plan.site.start

    def day(when: date) -> int:
        return (when - start).days

    found: dict[str, object] = {
        "id": p.id,
        "name": crop.name,
        "place": p.place,
        "plants": p.plants,
        "count": count_text(p.plants, "plant"),
        "where": where_in_place(p, plan.site.units),
        "sow": day(p.sow),
        "up": day(p.emergence),
        "in": day(bed_entry(p)),
        "harvest": day(p.harvest_start),
        "early": day(p.harvest_start_early),
        "late": day(p.harvest_start_late),
        "end": day(p.harvest_end),
        "cleared": day(p.cleared),
        "lots": [
            [
                day(lot.ready),
                day(lot.last),
                amount_text(lot.amount, crop.harvest_unit, plan.site.units),
            ]
            for lot in p.lots
        ],
        "at": round(p.strip_start_m, 4),
        "slots": list(p.slots),
    }
    if p.tray:
        found |= {"tray": p.tray, "cells": p.cells}
    if p.kind == "bed":
        found |= {
            "long": round(p.strip_length_m, 4),
            "rows": p.rows,
            "lead": round(p.row_lead_m, 4),
            "pitch": round(p.row_pitch_m, 4),
            "dot": round(min(max(crop.spacing_cm / 100 * 0.3, 0.012), 0.08), 4),
            "ys": _across(plan, p),
        }
    return found


def _across(plan: Plan, p: Planting) -> list[list[float]]:
    """Return the plants' distances across the bed in odd and in even rows [m]."""
    rows: dict[float, list[float]] = {}
    for x, y in stations(plan, p):
        rows.setdefault(round(x, 4), []).append(round(y, 3))
    return [rows[x] for x in sorted(rows)[:2]]
