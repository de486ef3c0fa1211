"""A batch of the search as a planting of the plan: its dates, its harvests, where it stands."""

from __future__ import annotations

from datetime import date

from sowplan.growth.reasons import in_units
from sowplan.records.crop import Crop
from sowplan.records.garden import Bed
from sowplan.season.choices.book import Book, Way
from sowplan.season.choices.even_so import why_nothing
from sowplan.season.choices.instance import DIRECT, NEVER, Batch
from sowplan.season.choices.options import lots_of, overgrown_days
from sowplan.season.choices.spaces import rows_of_strip, strip_in
from sowplan.season.frame import kind_of
from sowplan.season.onward import last_harvest_day, stands_on
from sowplan.season.plan import HARVEST_DAYS, PlanLot, Planting
from sowplan.season.search.room import runs


def planting_of(book: Book, batch: Batch, name: str) -> Planting:
    """Return a batch as the planting of an id."""
    case, crop = book.instance.crops[batch.crop], book.crops[batch.crop]
    options, option = case.options, batch.option
    way, row = book.course(options.course[option])
    table = way.courses
    spot = book.instance.spots[batch.spot]
    in_tray = batch.tray >= 0
    clear, up, out = (
        int(v) for v in (options.clear[option], table.emergence[row], table.planting_out[row])
    )
    return Planting(
        id=name,
        crop=crop.key,
        place=spot.name,
        kind=kind_of(book.places[batch.spot]),
        plants=batch.plants,
        sow=book.day(options.sow[option]),
        emergence=book.day(up if up >= 0 else clear),
        planting_out=book.day(out if out >= 0 else options.into[option])
        if way.conditions.raised
        else None,
        cleared=book.day(clear),
        tray=book.trays[batch.tray].name if in_tray else None,
        cells=batch.cells,
        seeds=_sown(batch, way) * crop.seeds_per_cell,
        fixed=batch.fixed,
        overgrown=tuple(map(book.day, overgrown_days(table, row, clear))),
        stands_on=_stands_on(book, batch, way, row, book.day(clear)),
        cover=way.conditions.cover if way.own else "none",
        **_harvest(book, batch, way, row),
        **_stand(book, batch, crop),
    )


def _harvest(book: Book, batch: Batch, way: Way, row: int) -> dict[str, object]:
    """Return the fields that say what is brought in of a batch, and when; or why nothing is."""
    lots, table = lots_of_batch(book, batch), way.courses
    if not lots:
        options = book.instance.crops[batch.crop].options
        clear = book.day(options.clear[batch.option])
        own = book.garden.sowings[int(options.fixed[batch.option])]
        why = why_nothing(book, own, way, row) or "nothing comes of it"
        return {**dict.fromkeys(HARVEST_DAYS, clear), "in_vain": why}
    first = min(lot.ready for lot in lots)
    likely = book.day(table.harvest_start[row])
    early, late = first, first  # of what was fit before the season there is nothing to foretell
    if likely >= book.garden.season.start:
        early = min(book.day(table.harvest_start_early[row]), likely, first)
        late = max(book.day(table.harvest_start_late[row]), first)
    return {
        "harvest_start": first,
        "harvest_start_early": early,
        "harvest_start_late": late,
        "harvest_end": max(lot.last for lot in lots),
        "lots": lots,
        "held": in_units(table.reason[row], book.garden.units),
    }


def _stands_on(book: Book, batch: Batch, way: Way, row: int, clear: date) -> bool:
    """Return whether a batch goes on giving after the season, but for the gardener's own word."""
    garden, crop = book.garden, book.crops[batch.crop]
    own = int(book.instance.crops[batch.crop].options.fixed[batch.option])
    if crop.harvest == "once" or clear <= last_harvest_day(garden.season):
        return False
    if 0 <= own < len(garden.sowings) and garden.sowings[own].until is not None:
        return False
    fit = lots_of(way.courses, book.safety)[0][row].tolist()
    ready = [book.day(day) for day in fit if day >= 0]
    risk = garden.climate.frost_risk
    return stands_on(crop, way.conditions.in_open, ready, clear, garden.season, book.sky, risk)


def _sown(batch: Batch, way: Way) -> int:
    """Return the cells or stations that are sown of a batch."""
    if way.tray >= 0:
        return batch.cells
    return batch.plants if way.tray == DIRECT else 0


def lots_of_batch(book: Book, batch: Batch) -> tuple[PlanLot, ...]:
    """Return a batch's harvests in the crop's harvest unit."""
    options = book.instance.crops[batch.crop].options
    first, until = options.lot_start[batch.option], options.lot_start[batch.option + 1]
    per_plant = book.crops[batch.crop].units_per_plant
    return tuple(
        PlanLot(
            book.day(options.lot_ready[n]),
            book.day(options.lot_last[n]),
            round(float(options.lot_share[n]) * batch.plants * per_plant, 9),
        )
        for n in range(first, until)
        if options.lot_ready[n] < NEVER
    )


def _stand(book: Book, batch: Batch, crop: Crop) -> dict[str, object]:
    """Return the fields that say where in its place a batch stands."""
    place = book.places[batch.spot]
    pieces = list(runs(batch.mask))
    if not isinstance(place, Bed):
        return {"slots": tuple(at + n + 1 for at, many in pieces for n in range(many))}
    ((start, _),) = pieces
    strip = strip_in(place, crop, batch.plants)
    return {
        "strip_start_m": round(start * book.unit_m, 6),
        **rows_of_strip(strip),
    }
