"""From a standing season to the frozen plan: names, dates, amounts, and how good it is."""

from __future__ import annotations

import math
import uuid
from collections import Counter
from collections.abc import Iterable
from datetime import date, timedelta

from sowplan.growth.reasons import in_units
from sowplan.records.crop import Crop
from sowplan.records.garden import Bed, Channel, Want
from sowplan.season.archive import VERSION
from sowplan.season.choices.book import Book, Place, Way
from sowplan.season.choices.even_so import why_nothing
from sowplan.season.choices.instance import DIRECT, NEVER, Batch, Periods
from sowplan.season.choices.options import lots_of, overgrown_days
from sowplan.season.choices.spaces import rows_of_strip, strip_in
from sowplan.season.choices.sun import sun_of
from sowplan.season.days import plants_per_unit
from sowplan.season.onward import last_harvest_day, stands_on
from sowplan.season.plan import (
    PlaceKind,
    Plan,
    PlanCrop,
    PlanLot,
    PlanPlace,
    PlanSite,
    Planting,
    PlanTray,
    Quality,
    SkyDay,
    WantPeriod,
)
from sowplan.season.search.room import runs
from sowplan.season.search.service import hand_out
from sowplan.site.evapotranspiration import reference_evapotranspiration
from sowplan.site.shade import DirectSun

CRUMB = 1e-7
"""Less than this, of what is counted in want-weeks, is none: what sums of fractions leave over."""

PLAN_IDS = uuid.UUID("6f0b1c5e-6d0e-5d0a-9a53-0f6c1f7d2b11")
"""Name space of plan identities; never changes."""

SAME_NAMES = tuple(
    "key name botanical_name family group harvest harvest_unit units_per_plant kg_per_plant "
    "spacing_cm row_spacing_cm sowing_depth_mm seeds_per_cell plants_per_cell germination_percent "
    "spread_cm height_m tender support kc_initial kc_mid kc_end rooting_depth_m pot_litres "
    "keeps_days".split()
)


def assemble(
    book: Book,
    batches: list[Batch],
    bound: float,
    bound_by: str,
    method: str,
    notes: tuple[str, ...] = (),
) -> Plan:
    """Return the plan of a season's batches; ``why`` of what is missing is left empty.

    Parameters
    ----------
    book : Book
        The garden the batches were chosen for.
    batches : list of Batch
        What stands.
    bound : float
        The least missing any plan can have [want-weeks].
    bound_by, method : str
        How the bound and the plan were had, for people.
    notes : tuple of str
        What else the gardener should know.
    """
    ordered = sorted(batches, key=lambda b: _order(book, b))
    plantings = _plantings(book, ordered)
    wants, missing, wasted = _wants(book, ordered, plantings)
    wanted, sowings = book.instance.wanted, sowings_in(plantings)
    quality = quality_of(wanted, missing, bound, wasted, sowings, bound_by, method)
    used = {p.crop for p in plantings} | {w.crop for w in wants}
    sun = sun_of(book.garden, book.places)
    return Plan(
        version=VERSION,
        site=site_of(book),
        sky=sky_of(book),
        places=tuple(place_of(place, sun.get(place.name)) for place in book.places),
        trays=tuple(PlanTray(tray.name, tray.cells) for tray in book.trays),
        crops=tuple(plan_crop(crop) for crop in book.crops if crop.key in used),
        plantings=plantings,
        wants=wants,
        quality=quality,
        notes=notes,
    )


def plan_crop(crop: Crop) -> PlanCrop:
    """Return what outputs need of a crop."""
    return PlanCrop(**{name: getattr(crop, name) for name in SAME_NAMES})


def _order(book: Book, batch: Batch) -> tuple:
    options = book.instance.crops[batch.crop].options
    return int(options.sow[batch.option]), batch.crop, batch.spot, batch.mask


def _plantings(book: Book, batches: list[Batch]) -> tuple[Planting, ...]:
    numbers: Counter[str] = Counter()
    found = []
    for batch in batches:
        key = book.crops[batch.crop].key
        numbers[key] += 1
        found.append(planting_of(book, batch, f"{key}-{numbers[key]}"))
    return tuple(found)


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
        days = dict.fromkeys(("harvest_start", "harvest_start_early", "harvest_start_late"), clear)
        why = why_nothing(book, own, way, row) or "nothing comes of it"
        return {**days, "harvest_end": clear - timedelta(days=1), "in_vain": why}
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


def kind_of(place: Place) -> PlaceKind:
    """Return the kind of a place."""
    if isinstance(place, Bed):
        return "bed"
    return "channel" if isinstance(place, Channel) else "pot"


def _wants(
    book: Book, batches: list[Batch], plantings: tuple[Planting, ...]
) -> tuple[tuple[WantPeriod, ...], float, float]:
    """Hand the harvests out; return the periods, and missing and wasted in want-weeks."""
    rows: list[tuple[tuple, WantPeriod]] = []
    missing = wasted = 0.0
    for number, case in enumerate(book.instance.crops):
        lots, owner = [], []
        for batch, planting in zip(batches, plantings, strict=True):
            if batch.crop == number:
                for ready, expiry, share in case.options.lots[batch.option]:
                    if ready < NEVER:
                        lots.append((ready, expiry, share * batch.plants))
                        owner.append(planting.id)
        served: list[Counter[str]] = [Counter() for _ in range(len(case.periods))]
        handed = 0.0
        for period, lot, amount in hand_out(case.periods, lots):
            served[period][owner[lot]] += amount
            handed += amount
        wasted += max(0.0, sum(lot[2] for lot in lots) - handed) * case.worth
        for period in range(len(case.periods)):
            row = _period(book, number, period, served[period])
            rows.append(((row.want, row.start), row))
            missing += (1.0 - row.met / row.wanted) * float(
                case.periods.need[period] * case.periods.weight[period]
            )
    rows.sort(key=lambda row: row[0])
    return tuple(row for _, row in rows), missing, wasted


def _period(book: Book, crop: int, period: int, served: Counter[str]) -> WantPeriod:
    periods = book.instance.crops[crop].periods
    number = int(periods.want[period])
    want = book.garden.wants[number]
    per_unit = plants_per_unit(book.crops[crop], want.unit)
    return period_of(book, want, number, periods, period, per_unit, served.items())


def period_of(
    book: Book,
    want: Want,
    number: int,
    periods: Periods,
    period: int,
    per_unit: float,
    served: Iterable[tuple[str, float]],
) -> WantPeriod:
    """Return a period of a want, served so many plants' yield by each planting.

    ``per_unit`` is the plants whose yield is one unit of the want.
    """
    given = tuple((name, round(amount / per_unit, 9)) for name, amount in served)
    met = math.fsum(amount for _, amount in given)
    return WantPeriod(
        want=number,
        crop=want.crop,
        start=book.day(periods.start[period]),
        end=book.day(periods.end[period]),
        unit=want.unit,
        wanted=float(want.amount),
        met=float(want.amount) if abs(met - want.amount) < 1e-6 else met,
        served_by=given,
        priority=want.priority,
    )


def quality_of(
    wanted: float,
    missing: float,
    bound: float,
    wasted: float,
    sowings: int,
    bound_by: str,
    method: str,
) -> Quality:
    """Return how good a season is.

    Parameters
    ----------
    wanted, missing, bound, wasted : float
        What is wanted, missing, missing from every plan, and grown for nothing [want-weeks].
    sowings : int
        How many there are.
    bound_by, method : str
        How the bound was had, and the plan.
    """
    missing = 0.0 if missing < CRUMB else missing
    bound = min(bound, missing)
    eaten = wanted - missing
    return Quality(
        wanted=wanted,
        missing=missing,
        missing_share=missing / wanted if wanted else 0.0,
        missing_share_bound=bound / wanted if wanted else 0.0,
        bound_by=bound_by,
        wasted=wasted,
        wasted_share=wasted / (eaten + wasted) if eaten + wasted else 0.0,
        sowings=sowings,
        proven=missing - bound <= 1e-4,
        method=method,
    )


def sowings_in(plantings: Iterable[Planting]) -> int:
    """Return how many sowings there are beside the gardener's own; one may stand in many strips."""
    fixed = {planting.sowing for planting in plantings if planting.fixed}
    return len({planting.sowing for planting in plantings} - fixed)


def site_of(book: Book) -> PlanSite:
    """Return where a garden is, with its season and its frosts."""
    garden = book.garden
    site, season, risk = garden.site, garden.season, garden.climate.frost_risk
    last, first, note = book.sky.frost.dates(season.start, risk)
    identity = f"{site.name}|{site.latitude:.4f}|{site.longitude:.4f}|{season.start}"
    return PlanSite(
        plan_id=str(uuid.uuid5(PLAN_IDS, identity)),
        name=site.name,
        latitude=site.latitude,
        longitude=site.longitude,
        timezone=site.timezone,
        elevation_m=site.elevation_m,
        units=garden.units,
        start=season.start,
        end=season.end,
        week_start=garden.week_start,
        frost_risk=risk,
        last_frost=last,
        first_frost=first,
        frost_note=note,
        work_on=season.sow_on,
        away=season.away,
        hours_a_week=season.hours_a_week,
        never_on=season.never_on,
        watered=season.watered,
        picked=season.picked,
        harvest_on=season.harvest_on,
        paper=garden.paper,
    )


def sky_of(book: Book) -> tuple[SkyDay, ...]:
    """Return the days of a garden's season."""
    series, season, site = book.sky.series, book.garden.season, book.garden.site
    chance = book.sky.frost.chance(0.0)
    eto = reference_evapotranspiration(series, site.latitude, site.elevation_m)
    first, last = series.index(season.start), series.index(season.end)
    return tuple(
        SkyDay(
            day=series.day(n),
            daylength_h=round(float(series.daylength[n]), 3),
            tmin_c=round(float(series.tmin[n]), 2),
            tmax_c=round(float(series.tmax[n]), 2),
            dli_mol=round(float(series.dli[n]), 2),
            frost_chance=round(float(chance[n]), 4),
            rain_mm=None if math.isnan(series.rain[n]) else round(float(series.rain[n]), 2),
            eto_mm=round(float(eto[n]), 2),
        )
        for n in range(first, last + 1)
    )


def place_of(place: Place, sun: DirectSun | None) -> PlanPlace:
    """Return what outputs need of a place; ``sun`` where something shades it."""
    light = tuple(round(float(share), 3) for share in sun.light_share) if sun else ()
    around = {"cover": place.cover, "light": light, "indoors": place.indoors}
    if isinstance(place, Bed):
        return PlanPlace(
            place.name,
            "bed",
            length_m=place.length_m,
            width_m=place.width_m,
            depth_m=place.depth_m,
            edge_m=place.edge_m,
            bearing_deg=place.bearing_deg,
            reservoir_l=place.reservoir_l,
            keep_outs=place.keep_outs,
            cut_m=place.cut_m,
            rounded_m=place.rounded_m,
            **around,
        )
    if isinstance(place, Channel):
        holes, apart = place.holes, place.spacing_m
        return PlanPlace(place.name, "channel", holes=holes, hole_spacing_m=apart, **around)
    return PlanPlace(place.name, "pot", count=place.count, volume_l=place.volume_l, **around)
