"""The plan as tables that open in any spreadsheet, and each of them as CSV.

Units stand in the headers, dates are ISO 8601, text is UTF-8 with plain line feeds. A garden
kept in feet and pounds gets feet and pounds, and the headers say so.
"""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from datetime import date

from sowplan.quantity import LENGTH, POUND_KG, VOLUME
from sowplan.season.plan import Plan, Planting
from sowplan.supply.buying import plants_to_buy
from sowplan.supply.cleared import as_cleared
from sowplan.supply.ground import grounds
from sowplan.supply.seed import seed_needs
from sowplan.supply.tasks import Task, tasks
from sowplan.supply.water import water
from sowplan.supply.water.words import MONTHS_DAYS
from sowplan.supply.wording import WEEKDAYS, one_line

Cell = str | int | float | date | bool | None


@dataclass(frozen=True)
class Table:
    """A named table; every row has a cell a column."""

    name: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


def tables(plan: Plan) -> tuple[Table, ...]:
    """Return every table of a plan: plantings, tasks, harvests, wants, seeds and water."""
    return (
        plantings(plan), task_list(plan), harvests(plan), wants(plan), seeds(plan), waterings(plan),
    )  # fmt: skip


def plantings(plan: Plan) -> Table:
    """Return one row a planting, from seed to cleared ground; bought plants were never sown."""
    unit, metres = _length_unit(plan)
    columns = (
        "id", "crop", "name", "place", "kind", "plants",
        "sow", "emergence", "planting_out",
        "harvest_start", "harvest_start_early", "harvest_start_late", "harvest_end", "cleared",
        "tray", "cells", "seeds",
        f"from_{unit}", f"to_{unit}", "rows", "slots",
        "harvest", "harvest_unit", "fixed",
    )  # fmt: skip
    rows = []
    for ground in grounds(as_cleared(plan)):
        p, place, in_bed = ground.planting, ground.place, ground.planting.kind == "bed"
        start = place.edge_m + p.strip_start_m
        rows.append(
            (
                p.id, p.crop, ground.crop.name, p.place, p.kind, p.plants,
                *((None, None) if p.bought else (p.sow, p.emergence)), p.planting_out,
                *_harvest_days(p), p.cleared,
                p.tray, p.cells, p.seeds,
                round(start / metres, 3) if in_bed else None,
                round((start + p.strip_length_m) / metres, 3) if in_bed else None,
                p.rows if in_bed else None,
                " ".join(str(slot) for slot in p.slots),
                *_told(plan, ground.crop.harvest_unit, sum(lot.amount for lot in p.lots)), p.fixed,
            )
        )  # fmt: skip
    return Table("plantings", columns, tuple(rows))


def _harvest_days(p: Planting) -> tuple[date | None, ...]:
    """Return first day, early, late and last; none of what gives nothing."""
    if p.in_vain:
        return (None,) * 4
    return p.harvest_start, p.harvest_start_early, p.harvest_start_late, p.harvest_end


def task_list(plan: Plan) -> Table:
    """Return one row a task, in the order of days."""
    columns = (
        "day", "weekday", "until", "kind", "crop", "place", "title", "details", "planting", "id",
    )  # fmt: skip
    rows = tuple(
        (t.day, WEEKDAYS[t.day.weekday()], t.until, t.kind, _all(t, "crop"), _all(t, "place"),
         t.title, one_line(t.details), _all(t, "planting"), t.id)
        for t in tasks(plan)
    )  # fmt: skip
    return Table("tasks", columns, rows)


def _all(task: Task, name: str) -> str:
    """Return what a task's jobs have under a name, each once: ``"radish; rocket"``."""
    found = [getattr(one, name) for one in task.jobs]
    if name == "planting":
        found = [p for one in task.jobs for p in dict(one.takes) or (one.planting,)]
    return "; ".join(dict.fromkeys(text for text in found if text))


def harvests(plan: Plan) -> Table:
    """Return one row a harvest, in the order of days; the weight is the crop's usual one."""
    unit, kilograms = ("lb", POUND_KG) if _imperial(plan) else ("kg", 1.0)
    crops = {crop.key: crop for crop in plan.crops}
    columns = (
        "ready", "last", "crop", "name", "place", "amount", "unit", f"weight_{unit}", "planting",
        "number",
    )  # fmt: skip
    rows = []
    for p in plan.plantings:
        crop = crops[p.crop]
        weight = crop.kg_per_plant / crop.units_per_plant / kilograms
        rows += [
            (lot.ready, lot.last, p.crop, crop.name, p.place,
             *_told(plan, crop.harvest_unit, lot.amount), round(lot.amount * weight, 3),
             p.id, number)
            for number, lot in enumerate(p.lots, start=1)
        ]  # fmt: skip
    return Table("harvests", columns, tuple(sorted(rows, key=lambda row: (row[0], *row[8:]))))


def wants(plan: Plan) -> Table:
    """Return one row a period of a want: what is wanted, met, and why the rest is not."""
    crops = {crop.key: crop for crop in plan.crops}
    columns = (
        "start", "end", "crop", "name", "wanted", "met", "missing", "unit", "why", "from_plantings",
    )  # fmt: skip
    rows = tuple(
        (w.start, w.end, w.crop, crops[w.crop].name if w.crop in crops else w.crop,
         *_told(plan, w.unit, w.wanted, w.met, w.wanted - w.met), w.why,
         " ".join(planting for planting, _ in w.served_by))
        for w in sorted(plan.wants, key=lambda w: (w.start, w.want))
    )  # fmt: skip
    return Table("wants", columns, rows)


def seeds(plan: Plan) -> Table:
    """Return one row a crop: what its sowings take, and the seed to have in hand.

    Young plants to buy come after, a row for each crop and day they are planted out.
    """
    columns = (
        "crop", "name", "what", "first_sowing", "last_sowing", "sowings", "plants", "cells",
        "number_sown", "number_to_have", "germination_%",
    )  # fmt: skip
    rows = tuple(
        (n.crop, n.name, n.what, n.first_sowing, n.last_sowing, n.sowings, n.plants, n.cells,
         n.seeds, n.seeds_in_hand, n.germination_percent)
        for n in seed_needs(plan)
    )  # fmt: skip
    bought = tuple(
        (n.crop, n.name, "young plants", n.out, n.out, 0, n.plants, 0, 0, n.plants, None)
        for n in plants_to_buy(plan)
    )
    return Table("seeds", columns, rows + bought)


def waterings(plan: Plan) -> Table:
    """Return one row a week and place in which anything drinks, in a year of usual weather.

    How long a filling lasts is told for a week without rain: in whole days, beyond two months as
    ``"months"``.
    """
    unit, litres = ("us_gal", VOLUME.units["us gal"]) if _imperial(plan) else ("l", 1.0)
    columns = (
        "week_from", "days", "place", "kind", f"crops_drink_{unit}", f"rain_brings_{unit}",
        f"to_give_{unit}", "reservoir_fillings", "filling_lasts_days",
    )  # fmt: skip
    rows = []
    for one in water(plan):
        for week in one.weeks:
            lasts = one.lasts_days(week)
            if week.need_l > 0:
                rows.append(
                    (week.start, week.days, one.place.name, one.place.kind,
                     *(round(v / litres, 1) for v in (week.need_l, week.rain_l, week.give_l)),
                     len(week.fills) if one.place.reservoir_l else None,
                     _filling(lasts))
                )  # fmt: skip
    return Table("water", columns, tuple(sorted(rows, key=lambda row: row[0])))


def _filling(days: float | None) -> Cell:
    """Return how long a filling lasts, no nearer than it is known."""
    if days is None:
        return None
    return "months" if days > MONTHS_DAYS else int(days)


def to_csv(table: Table) -> bytes:
    """Return a table as CSV (RFC 4180, but with plain line feeds)."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(table.columns)
    writer.writerows([_plain(cell) for cell in row] for row in table.rows)
    return out.getvalue().encode("utf-8")


def _length_unit(plan: Plan) -> tuple[str, float]:
    """Return the unit of length for the headers, and its metres."""
    return ("ft", LENGTH.units["ft"]) if _imperial(plan) else ("m", 1.0)


def _told(plan: Plan, unit: str, *amounts: float) -> tuple[Cell, ...]:
    """Return amounts and their unit as the garden is kept: kilograms become pounds in imperial."""
    if unit == "kg" and _imperial(plan):
        return (*(round(amount / POUND_KG, 3) for amount in amounts), "lb")
    return (*(round(amount, 3) for amount in amounts), unit)


def _imperial(plan: Plan) -> bool:
    return plan.site.units == "imperial"


def _plain(cell: Cell) -> str:
    """Return a cell as text: ISO dates, yes and no, numbers without a tail of noise."""
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        return f"{cell:.3f}".rstrip("0").rstrip(".")
    return cell.isoformat() if isinstance(cell, date) else str(cell)


def plantings_csv(plan: Plan) -> bytes:
    """Return the plantings as CSV."""
    return to_csv(plantings(plan))


def tasks_csv(plan: Plan) -> bytes:
    """Return the tasks as CSV."""
    return to_csv(task_list(plan))


def harvests_csv(plan: Plan) -> bytes:
    """Return the harvests as CSV."""
    return to_csv(harvests(plan))


def wants_csv(plan: Plan) -> bytes:
    """Return the wants as CSV."""
    return to_csv(wants(plan))


def seeds_csv(plan: Plan) -> bytes:
    """Return the seeds as CSV."""
    return to_csv(seeds(plan))


def water_csv(plan: Plan) -> bytes:
    """Return the water by week as CSV."""
    return to_csv(waterings(plan))
