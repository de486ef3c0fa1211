"""What the page's script needs of a plan: days as numbers from the season's first, texts once."""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import date, timedelta

from sowplan.bed.as_built import outline_of
from sowplan.export.page.phrases import PhraseBook
from sowplan.export.page.todo import page_tasks, told_done
from sowplan.export.pictures.bed_built import kept_words
from sowplan.export.pictures.scale import weeks
from sowplan.export.pictures.standing import stations
from sowplan.export.pictures.words import (
    place_size,
    where_in_place,
)
from sowplan.quantity import c_to_fahrenheit, kept_together
from sowplan.records.diary import Entry
from sowplan.season.plan import Plan, PlanCrop, PlanPlace, Planting, SkyDay
from sowplan.season.words import sown_word
from sowplan.supply.cleared import as_cleared
from sowplan.supply.task import Task
from sowplan.supply.told import as_it_stands
from sowplan.supply.water.words import week_text
from sowplan.supply.weighed import harvest_text, weighed
from sowplan.supply.wording import UNDER


def page_data(plan: Plan, per_day: float, entries: Sequence[Entry] = ()) -> str:
    """Return the script's data.

    Parameters
    ----------
    plan : Plan
        A finished season.
    per_day : float
        Pixels a day of the season's picture.
    entries : sequence of Entry
        The season's diary.

    Returns
    -------
    str
        JSON without ``<``, fit to stand inside a script element. Jobs are told without their
        titles, which the page has in its list of all jobs, in the same order.
    """
    start, units = plan.site.start, plan.site.units
    todo, done = page_tasks(plan, entries)
    places = {
        p.id: kept_together(where_in_place(plan, p)) + UNDER.get(p.cover, "")
        for p in plan.plantings
    }
    by_weight = weighed(plan)
    lots = {p.id: _amounts(plan, p, by_weight) for p in plan.plantings}
    drinks = [kept_together(words) for words in _water(as_it_stands(plan, entries))]
    amounts = [amount for row in lots.values() for amount in row]
    book = PhraseBook(
        [*(kept_together(t.details) for t in todo), *places.values(), *amounts, *drinks]
    )
    ids = {p.id: n for n, p in enumerate(plan.plantings)}
    crops = {crop.key: n for n, crop in enumerate(plan.crops)}
    sky = {day.day: day for day in plan.sky}
    days = (plan.site.end - start).days + 1
    data = {
        "id": plan.site.plan_id,
        "start": start.isoformat(),
        "days": days,
        "weekStart": plan.site.week_start,
        "perDay": round(per_day, 4),
        "pieces": book.pieces,
        "water": [book.coded(words) for words in drinks],
        "told": told_done(todo, done, start),
        "tasks": [_task(task, ids, crops, start, book) for task in todo],
        "degree": "°F" if units == "imperial" else "°C",
        "sky": [_sky(sky.get(start + timedelta(days=n)), units) for n in range(days)],
        "crops": [_crop(crop) for crop in plan.crops],
        "places": [_place(place, units) for place in plan.places],
        "trays": [tray.name for tray in plan.trays],
        "plantings": [
            [
                *_planting(plan, shown),
                book.coded(places[p.id]),
                [
                    [
                        (lot.ready - start).days,
                        (lot.last - start).days,
                        book.coded(amount),
                        *((day - start).days for day in _wanted_later(plan, p.crop, lot.ready)),
                    ]
                    for lot, amount in zip(p.lots, lots[p.id], strict=True)
                ],
            ]
            for p, shown in zip(plan.plantings, as_cleared(plan).plantings, strict=True)
        ],
    }
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


def _water(plan: Plan) -> list[str]:
    """Return what each week of the season asks for, the weeks beginning on the gardener's day."""
    start, end = plan.site.start, plan.site.end
    return [week_text(plan, max(week, start)) for week in weeks(start, end, plan.site.week_start)]


def _task(
    task: Task, ids: dict[str, int], crops: dict[str, int], start: date, book: PhraseBook
) -> list[object]:
    """Return a task's id, day, days it may wait, details, and its crops where they are several.

    The id is told as its planting's number and the rest, where it begins with the planting's id.
    Each crop is its number and the ids of its parts: a planting's number where the rest is the
    task's own.
    """
    owner: int | None = ids.get(task.planting)
    rest = task.id.removeprefix(task.planting)
    if owner is None or rest == task.id:
        owner, rest = None, task.id
    wait = (task.until - task.day).days
    told = [owner, rest, (task.day - start).days, wait, book.coded(kept_together(task.details))]
    by_crop: dict[int, list[object]] = {}
    for part in task.parts:
        alike = owner is not None and part.id == part.planting + rest
        by_crop.setdefault(crops[part.crop], []).append(ids[part.planting] if alike else part.id)
    several = [[crop, *parts] for crop, parts in by_crop.items()]
    return [*told, several] if len(several) > 1 else told


def _amounts(plan: Plan, p: Planting, by_weight: frozenset[str]) -> list[str]:
    crop, units = plan.crop(p.crop), plan.site.units
    told = (harvest_text(lot.amount, crop, p.crop in by_weight, units) for lot in p.lots)
    return [kept_together(words) for words in told]


def _wanted_later(plan: Plan, crop: str, ready: date) -> tuple[date, ...]:
    """Return the day from which a crop is wanted, where it is fit before; else nothing."""
    begins = min((w.start for w in plan.wants if w.crop == crop and w.end >= ready), default=ready)
    return (begins,) if begins > ready else ()


def _crop(crop: PlanCrop) -> list[object]:
    """Return a crop's name, how large a plant is drawn, and what is done of it if not sown."""
    verb = sown_word(crop)
    return [crop.name, _dot(crop), *([verb] if verb != "sown" else [])]


def _dot(crop: PlanCrop) -> float:
    """Return how large a plant is drawn [m]."""
    return round(min(max(crop.spacing_cm / 100 * 0.3, 0.012), 0.08), 4)


def _sky(day: SkyDay | None, units: str) -> list[float]:
    """Return one day's daylength [h], night and day temperature and frost chance [%]."""
    if day is None:
        return []
    shown = c_to_fahrenheit if units == "imperial" else float
    low, high = shown(day.tmin_c), shown(day.tmax_c)
    frost = day.frost_chance * 100
    return [round(day.daylength_h, 1), round(low), round(high), round(frost, 1 if frost < 1 else 0)]


def _place(place: PlanPlace, units: str) -> dict[str, object]:
    found: dict[str, object] = {
        "name": place.name,
        "kind": place.kind,
        "size": kept_together(place_size(place, units)),
    }
    if place.kind == "bed":
        found |= {"length": place.length_m, "width": place.width_m, "edge": place.edge_m}
        found |= _as_built(place)
        told = "; ".join(filter(None, (place_size(place, units), kept_words(place))))
        found["size"] = kept_together(told)
    else:
        found["slots"] = place.holes if place.kind == "channel" else place.count
    return found


def _as_built(bed: PlanPlace) -> dict[str, object]:
    """Return the corners of a bed that is no rectangle, and what stands in the way [m]."""
    found: dict[str, object] = {}
    outline = outline_of(bed)
    if outline is not None:
        found["corners"] = outline.corners().round(3).tolist()
    if bed.keep_outs:
        found["kept"] = [
            [*(round(m, 3) for m in (k.x_m, k.y_m, k.length_m, k.width_m)), int(k.round)]
            for k in bed.keep_outs
        ]
    return found


def _planting(plan: Plan, p: Planting) -> list[object]:
    """Return a planting's id, crop, place, plants, tray, cells, days, and slots or strip.

    Crop, place and tray are their numbers in the plan's lists; the tray is -1 where it is in none
    and -2 where its plants are bought. A strip is where it starts, its
    length, rows, lead and pitch [m], and the plants across it.
    """
    start = plan.site.start
    dates = (
        p.sow, p.emergence, p.occupies_from, p.harvest_start, p.harvest_start_early,
        p.harvest_start_late, p.harvest_end, p.cleared,
    )  # fmt: skip
    stands: list[object] = list(p.slots)
    if p.kind == "bed":
        rows, pitch = p.rows, p.row_pitch_m
        if p.along:  # the page draws plants row by row across
            xs = sorted({round(x, 6) for x, _ in stations(plan, p)})
            rows, pitch = len(xs), (xs[-1] - xs[0]) / max(len(xs) - 1, 1)
        metres = (p.strip_start_m, p.strip_length_m, p.row_lead_m, pitch)
        stands = [rows, *(round(m, 4) for m in metres), _across(plan, p)]
    return [
        p.id,
        [crop.key for crop in plan.crops].index(p.crop),
        [place.name for place in plan.places].index(p.place),
        p.plants,
        [tray.name for tray in plan.trays].index(p.tray) if p.tray else -2 if p.bought else -1,
        p.cells,
        [(day - start).days for day in dates],
        stands,
    ]


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
