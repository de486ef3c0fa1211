"""What the page's script needs of a plan: days as numbers from the season's first, texts once."""

from __future__ import annotations

import json
from datetime import date, timedelta

from sowplan.export.pictures.standing import stations
from sowplan.export.pictures.words import (
    bed_entry,
    place_size,
    where_in_place,
)
from sowplan.season.plan import Plan, PlanPlace, Planting, SkyDay
from sowplan.supply.tasks import Task, tasks
from sowplan.supply.wording import amount_text


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
    ids = {p.id: n for n, p in enumerate(plan.plantings)}
    sentences: dict[str, int] = {}
    listed = [_task(task, ids, start, sentences) for task in tasks(plan)]
    sky = {day.day: day for day in plan.sky}
    days = (plan.site.end - start).days + 1
    data = {
        "id": plan.site.plan_id,
        "start": start.isoformat(),
        "days": days,
        "weekStart": plan.site.week_start,
        "perDay": round(per_day, 4),
        "tasks": listed,
        "texts": list(sentences),
        "degree": "°F" if plan.site.units == "imperial" else "°C",
        "sky": [_sky(sky.get(start + timedelta(days=n)), plan.site.units) for n in range(days)],
        "crops": [crop.name for crop in plan.crops],
        "places": [_place(place, plan.site.units) for place in plan.places],
        "plantings": [_planting(plan, p) for p in plan.plantings],
    }
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


def _task(task: Task, ids: dict[str, int], start: date, sentences: dict[str, int]) -> list[object]:
    """Return a task as a list; its details as paragraphs of numbers of sentences, each kept once.

    The id is told as its planting's number and the rest, where it begins with the planting's id.
    """
    owner: int | None = ids.get(task.planting)
    rest = task.id.removeprefix(task.planting)
    if owner is None or rest == task.id:
        owner, rest = None, task.id
    told = [
        [
            sentences.setdefault(sentence, len(sentences))
            for sentence in paragraph.replace(". ", ".\n").split("\n")
        ]
        for paragraph in task.details.split("\n")
        if paragraph
    ]
    return [owner, rest, (task.day - start).days, (task.until - task.day).days, task.title, told]


def _sky(day: SkyDay | None, units: str) -> list[float]:
    """Return one day's daylength [h], night and day temperature and frost chance [%]."""
    if day is None:
        return []
    low, high = (c * 9 / 5 + 32 if units == "imperial" else c for c in (day.tmin_c, day.tmax_c))
    frost = day.frost_chance * 100
    return [round(day.daylength_h, 1), round(low), round(high), round(frost, 1 if frost < 1 else 0)]


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
    crops = [one.key for one in plan.crops]
    places = [one.name for one in plan.places]

    def day(when: date) -> int:
        return (when - start).days

    found: dict[str, object] = {
        "id": p.id,
        "crop": crops.index(p.crop),
        "place": places.index(p.place),
        "plants": p.plants,
        "where": where_in_place(plan, p),
        "d": [
            day(when)
            for when in (
                p.sow,
                p.emergence,
                bed_entry(p),
                p.harvest_start,
                p.harvest_start_early,
                p.harvest_start_late,
                p.harvest_end,
                p.cleared,
            )
        ],
        "lots": [
            [
                day(lot.ready),
                day(lot.last),
                amount_text(lot.amount, crop.harvest_unit, plan.site.units),
            ]
            for lot in p.lots
        ],
    }
    if p.slots:
        found["slots"] = list(p.slots)
    if p.tray:
        found |= {"tray": p.tray, "cells": p.cells}
    if p.kind == "bed":
        found |= {
            "at": round(p.strip_start_m, 4),
            "long": round(p.strip_length_m, 4),
            "rows": p.rows,
            "lead": round(p.row_lead_m, 4),
            "pitch": round(p.row_pitch_m, 4),
            "dot": round(min(max(crop.spacing_cm / 100 * 0.3, 0.012), 0.08), 4),
            "ys": _across(plan, p),
        }
    return found


def _across(plan: Plan, p: Planting) -> list[list[float]]:
    """Return where the plants of odd and of even rows stand across the bed.

    Plants of a row are evenly spaced: each row is the first one's distance from the bed's side,
    the step [both m] and the number of plants.
    """
    rows: dict[float, list[float]] = {}
    for x, y in stations(plan, p):
        rows.setdefault(round(x, 4), []).append(y)
    found = []
    for x in sorted(rows)[:2]:
        ys = sorted(rows[x])
        step = (ys[-1] - ys[0]) / (len(ys) - 1) if len(ys) > 1 else 0.0
        found.append([round(ys[0], 4), round(step, 5), len(ys)])
    return found[:1] if found[:1] == found[1:] else found
