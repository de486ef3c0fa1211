"""An invented season of an invented garden, built by hand, for tests of what comes after planning.

A courtyard in a cool southern town, September to May, crossing the new year. Dates, strips and
yields are made up; they only have to be possible and to agree with each other, and
``tests/supply/test_sample_plan.py`` checks that they do. Nothing here is computed by the
stages under test.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, timedelta

from sowplan.season.plan import (
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

START, END = date(2026, 9, 1), date(2027, 5, 31)

SITE = PlanSite(
    plan_id="quince-yard-2026-09",
    name="Quince Yard",
    latitude=-42.6,
    longitude=147.1,
    timezone="Australia/Hobart",
    elevation_m=85.0,
    units="metric",
    start=START,
    end=END,
    week_start=0,
    frost_risk=0.10,
    last_frost=date(2026, 10, 29),
    first_frost=date(2027, 4, 22),
    frost_note="estimated from monthly means",
)

PLACES = (
    PlanPlace("Long bed", "bed", 2.4, 0.9, 0.4, edge_m=0.05, reservoir_l=60.0),
    PlanPlace("Gate bed", "bed", 3.0, 1.1, 0.3, edge_m=0.05, bearing_deg=0.0),
    PlanPlace("Wall bed", "bed", 1.8, 0.75, 0.35, edge_m=0.05),
    PlanPlace("Rail", "channel", holes=24, hole_spacing_m=0.15, cover="tunnel"),
    PlanPlace("Step pots", "pot", count=4, volume_l=12.0),
)

TRAYS = (PlanTray("Shelf", 72), PlanTray("Sill", 24))


def _crop(key, name, latin, family, group, harvest, unit, per_plant, kg, gaps, seed, **more):
    """Return a crop; ``gaps``: spacing, row spacing [cm], depth [mm]; ``seed``: a cell, left, %."""
    rest = dict(
        spread_cm=gaps[0],
        height_m=0.3,
        tender=False,
        support="none",
        kc_initial=0.7,
        kc_mid=1.0,
        kc_end=0.95,
        rooting_depth_m=0.4,
        pot_litres=3.0,
    )
    return PlanCrop(
        key, name, latin, family, group, harvest, unit, per_plant, kg, *gaps, *seed, **rest | more
    )


CROPS = (
    _crop(
        "basil", "Basil", "Ocimum basilicum", "Lamiaceae", "herb",
        "pick", "bunch", 4.0, 0.12, (20, 20, 3), (3, 1, 70.0),
        tender=True, height_m=0.4, pot_litres=4.0,
    ),
    _crop(
        "carrot", "Carrot", "Daucus carota subsp. sativus", "Apiaceae", "root",
        "once", "kg", 0.06, 0.06, (5, 15, 10), (2, 1, 75.0), rooting_depth_m=0.6,
    ),
    _crop(
        "chard", "Chard", "Beta vulgaris subsp. vulgaris", "Amaranthaceae", "leaf",
        "pick", "bunch", 6.0, 0.9, (25, 25, 15), (2, 1, 80.0), height_m=0.5,
    ),
    _crop(
        "dwarf-bean", "Dwarf French bean", "Phaseolus vulgaris", "Fabaceae", "legume",
        "pick", "kg", 0.12, 0.12, (10, 25, 40), (1, 1, 85.0), tender=True, height_m=0.45,
    ),
    _crop(
        "lettuce-butterhead", "Butterhead lettuce", "Lactuca sativa var. capitata",
        "Asteraceae", "leaf", "once", "head", 1.0, 0.25, (25, 25, 5), (2, 1, 85.0),
    ),
    _crop(
        "lettuce-loose-leaf", "Loose-leaf lettuce", "Lactuca sativa var. crispa",
        "Asteraceae", "leaf", "cut", "bunch", 1.5, 0.3, (20, 20, 5), (2, 1, 85.0),
    ),
    _crop(
        "pak-choi", "Pak choi", "Brassica rapa subsp. chinensis", "Brassicaceae", "leaf",
        "once", "head", 1.0, 0.35, (25, 25, 10), (2, 1, 90.0),
    ),
    _crop(
        "radish", "Radish", "Raphanus sativus", "Brassicaceae", "root",
        "once", "bunch", 0.1, 0.02, (5, 15, 12), (1, 1, 90.0), height_m=0.2, rooting_depth_m=0.25,
    ),
    _crop(
        "rocket", "Rocket", "Eruca vesicaria subsp. sativa", "Brassicaceae", "leaf",
        "cut", "bunch", 0.8, 0.08, (15, 15, 5), (4, 3, 85.0),
    ),
    _crop(
        "spinach", "Spinach", "Spinacia oleracea", "Amaranthaceae", "leaf",
        "cut", "bunch", 0.4, 0.08, (10, 20, 15), (2, 1, 75.0),
    ),
    _crop(
        "spring-onion", "Spring onion", "Allium fistulosum", "Amaryllidaceae", "allium",
        "once", "bunch", 1.0, 0.1, (15, 15, 10), (7, 6, 80.0),
    ),
    _crop(
        "tomato-cherry", "Cherry tomato", "Solanum lycopersicum", "Solanaceae", "fruiting",
        "pick", "kg", 2.4, 2.4, (50, 60, 8), (2, 1, 85.0),
        tender=True, height_m=1.8, support="canes", pot_litres=12.0, rooting_depth_m=0.8,
    ),
)  # fmt: skip


@dataclass(frozen=True)
class _Batch:
    """A batch as a grower would jot it down; days are counted on from sowing."""

    crop: str
    place: str
    at: float | tuple[int, int]  # strip start [m], or first and last slot
    plants: int
    sow: str
    up: int
    out: int | None
    first: int
    lasts: int
    lots: int = 1
    tray: str = "Shelf"
    fixed: bool = False


BATCHES = (
    # Long bed: 2.3 m by 0.8 m inside its edge
    _Batch("lettuce-butterhead", "Long bed", 0.0, 9, "2026-09-01", 5, 28, 65, 12),
    _Batch("dwarf-bean", "Long bed", 0.0, 24, "2026-11-20", 8, None, 59, 28, 4),
    _Batch("lettuce-butterhead", "Long bed", 0.0, 9, "2027-01-22", 4, 26, 61, 12),
    _Batch("spinach", "Long bed", 0.0, 24, "2027-04-07", 7, None, 44, 10),
    _Batch("lettuce-loose-leaf", "Long bed", 0.75, 12, "2026-09-12", 5, 24, 51, 38, 3),
    _Batch("carrot", "Long bed", 0.75, 64, "2026-12-14", 9, None, 91, 46),
    _Batch("radish", "Long bed", 1.35, 48, "2026-09-05", 8, None, 41, 10),
    _Batch("radish", "Long bed", 1.8, 48, "2026-09-19", 7, None, 37, 10, fixed=True),
    _Batch("lettuce-loose-leaf", "Long bed", 1.35, 8, "2026-10-12", 4, 22, 46, 34, 3, "Sill"),
    _Batch("chard", "Long bed", 1.8, 6, "2026-10-10", 8, 29, 71, 150, 10),
    _Batch("spring-onion", "Long bed", 1.35, 15, "2026-12-20", 8, 40, 90, 31),
    # Gate bed: 2.9 m by 1.0 m
    _Batch("radish", "Gate bed", 0.0, 60, "2026-09-03", 8, None, 41, 10),
    _Batch("tomato-cherry", "Gate bed", 0.0, 4, "2026-09-15", 8, 56, 122, 95, 13),
    _Batch("spinach", "Gate bed", 1.2, 30, "2026-09-02", 9, None, 48, 13, 2),
    _Batch("dwarf-bean", "Gate bed", 1.2, 30, "2026-11-05", 9, None, 60, 28, 4),
    _Batch("lettuce-butterhead", "Gate bed", 1.2, 12, "2027-01-10", 4, 25, 61, 10),
    _Batch("rocket", "Gate bed", 1.2, 18, "2027-03-25", 5, None, 38, 28, 2),
    _Batch("pak-choi", "Gate bed", 1.95, 8, "2026-09-06", 5, 26, 56, 8),
    _Batch("lettuce-loose-leaf", "Gate bed", 1.95, 20, "2026-10-20", 4, 23, 49, 35, 3),
    _Batch("spring-onion", "Gate bed", 1.95, 24, "2026-12-05", 8, 41, 95, 23),
    _Batch("spinach", "Gate bed", 1.95, 30, "2027-04-03", 7, None, 44, 13),
    # Wall bed: 1.7 m by 0.65 m
    _Batch("spring-onion", "Wall bed", 0.0, 16, "2026-09-01", 9, 39, 100, 31),
    _Batch("lettuce-loose-leaf", "Wall bed", 0.0, 9, "2026-12-22", 4, 23, 48, 36, 3, "Sill"),
    _Batch("radish", "Wall bed", 0.0, 39, "2027-03-20", 6, None, 36, 10),
    _Batch("carrot", "Wall bed", 0.6, 52, "2026-09-25", 11, None, 102, 36),
    _Batch("lettuce-butterhead", "Wall bed", 0.6, 5, "2027-02-05", 4, 25, 62, 12),  # part row
    # Rail
    _Batch("lettuce-loose-leaf", "Rail", (1, 12), 12, "2026-10-01", 4, 23, 48, 32, 3),
    _Batch("basil", "Rail", (13, 18), 6, "2026-10-15", 7, 36, 61, 95, 10, "Sill"),
    _Batch("pak-choi", "Rail", (1, 8), 8, "2026-12-01", 4, 22, 46, 8),
    _Batch("lettuce-loose-leaf", "Rail", (1, 12), 12, "2027-01-04", 4, 23, 47, 34, 3),
    _Batch("rocket", "Rail", (1, 8), 8, "2027-03-12", 4, 15, 36, 40, 3),
    # Step pots
    _Batch("tomato-cherry", "Step pots", (1, 2), 2, "2026-09-20", 8, 55, 120, 90, 12),
    _Batch("basil", "Step pots", (3, 4), 2, "2026-10-25", 6, 34, 58, 90, 9, "Sill"),
)  # fmt: skip

# crop, amount, unit, days, from, to, why the lack
WANTS = (
    ("lettuce-butterhead", 2, "head", 7, "2026-11-02", "2027-04-25", "no bed free for more heads"),
    ("lettuce-loose-leaf", 3, "bunch", 7, "2026-10-12", "2027-03-28", "beds full, and too cold"),
    ("radish", 2, "bunch", 14, "2026-10-05", "2026-11-29", "radishes bolt in the long hot days"),
    ("spinach", 3, "bunch", 14, "2026-10-12", "2026-11-08", ""),
    ("dwarf-bean", 0.5, "kg", 7, "2027-01-04", "2027-02-21", ""),
    ("tomato-cherry", 1.2, "kg", 7, "2027-01-04", "2027-04-25", "frost until 29 October: no fruit"),
    ("chard", 1, "bunch", 7, "2026-12-21", "2027-05-16", ""),
    ("basil", 2, "bunch", 7, "2026-12-14", "2027-03-28", "tray cells are short in October"),
    ("carrot", 0.8, "kg", 14, "2027-01-04", "2027-04-25", "no bed free for a third sowing"),
    ("rocket", 2, "bunch", 7, "2027-04-05", "2027-05-30", ""),
)


def _day(text: str) -> date:
    return date.fromisoformat(text)


def _slots_or_strip(batch: _Batch, crop: PlanCrop, place: PlanPlace) -> dict[str, object]:
    """Return where the batch stands: slots, or whole rows across the bed."""
    if place.kind != "bed":
        return {"slots": tuple(range(batch.at[0], batch.at[1] + 1))}
    inner = place.width_m - 2 * place.edge_m
    per_row = int(inner / (crop.spacing_cm / 100) + 1e-9)
    rows = math.ceil(batch.plants / per_row)
    pitch = crop.row_spacing_cm / 100
    return {
        "strip_start_m": batch.at,
        "strip_length_m": round(rows * pitch, 3),
        "rows": rows,
        "per_row": (per_row, per_row),
        "row_pitch_m": pitch,
        "row_lead_m": pitch / 2,
    }


def _lots(batch: _Batch, crop: PlanCrop, first: date) -> tuple[PlanLot, ...]:
    """Return equal lots that follow one another through the harvest."""
    step = batch.lasts / batch.lots
    share = round(batch.plants * crop.units_per_plant / batch.lots, 3)
    edges = [first + timedelta(days=round(step * n)) for n in range(batch.lots + 1)]
    lasts = [edge - timedelta(days=1) for edge in edges[1:-1]] + [edges[-1]]
    return tuple(PlanLot(ready, last, share) for ready, last in zip(edges[:-1], lasts, strict=True))


def _plantings() -> tuple[Planting, ...]:
    crops = {crop.key: crop for crop in CROPS}
    places = {place.name: place for place in PLACES}
    made: dict[str, int] = {}
    plantings = []
    for batch in BATCHES:
        crop, place = crops[batch.crop], places[batch.place]
        made[crop.key] = made.get(crop.key, 0) + 1
        sow = _day(batch.sow)
        first = sow + timedelta(days=batch.first)
        end = first + timedelta(days=batch.lasts)
        spare = math.ceil(batch.plants * 1.1)
        plantings.append(
            Planting(
                id=f"{crop.key}-{made[crop.key]}",
                crop=crop.key,
                place=place.name,
                kind=place.kind,
                plants=batch.plants,
                sow=sow,
                emergence=sow + timedelta(days=batch.up),
                planting_out=sow + timedelta(days=batch.out) if batch.out else None,
                harvest_start=first,
                harvest_start_early=first - timedelta(days=batch.first // 10),
                harvest_start_late=first + timedelta(days=batch.first // 8),
                harvest_end=end,
                cleared=end + timedelta(days=1),
                tray=batch.tray if batch.out else None,
                cells=spare if batch.out else 0,
                seeds=(spare if batch.out else batch.plants) * crop.seeds_per_cell,
                fixed=batch.fixed,
                lots=_lots(batch, crop, first),
                **_slots_or_strip(batch, crop, place),
            )
        )
    return tuple(sorted(plantings, key=lambda p: (p.sow, p.id)))


def _wants(plantings: tuple[Planting, ...]) -> tuple[tuple[WantPeriod, ...], float]:
    """Give each period what is fit in it, first come first served; return what is over, too."""
    stock = [[p.id, p.crop, lot.ready, lot.last, lot.amount] for p in plantings for lot in p.lots]
    stock.sort(key=lambda lot: (lot[3], lot[0]))
    periods = []
    for number, (crop, amount, unit, days, start, end, why) in enumerate(WANTS):
        day = _day(start)
        while day <= _day(end):
            last = min(day + timedelta(days=days - 1), _day(end))
            lack, served = float(amount), {}
            for lot in stock:
                if lot[1] == crop and lot[2] <= last and lot[3] >= day and lack > 1e-9:
                    take = min(lot[4], lack)
                    lot[4] = round(lot[4] - take, 6)
                    lack = round(lack - take, 6)
                    if take > 0:
                        served[lot[0]] = round(served.get(lot[0], 0.0) + take, 6)
            periods.append(
                WantPeriod(
                    number,
                    crop,
                    day,
                    last,
                    unit,
                    float(amount),
                    round(sum(served.values()), 6),
                    (why or "nothing is fit yet") if lack > 1e-9 else "",
                    tuple(served.items()),
                )  # fmt: skip
            )
            day = last + timedelta(days=1)
    return tuple(periods), round(sum(lot[4] for lot in stock), 6)


def _sky() -> tuple[SkyDay, ...]:
    """Return a plausible sky: sinusoids for air and light, the sun's geometry for the day."""
    days = []
    for n in range((END - START).days + 1):
        day = START + timedelta(days=n)
        wave = math.cos(2 * math.pi * (day.timetuple().tm_yday - 20) / 365)  # 1 in high summer
        tilt = math.radians(-23.44 * math.cos(2 * math.pi * (day.timetuple().tm_yday + 10) / 365))
        hours = math.acos(-math.tan(math.radians(SITE.latitude)) * math.tan(tilt)) * 24 / math.pi
        tmin = 7.5 + 4.6 * wave
        days.append(
            SkyDay(
                day=day,
                daylength_h=round(hours + 0.15, 3),
                tmin_c=round(tmin, 2),
                tmax_c=round(17.2 + 6.0 * wave, 2),
                dli_mol=round(26 + 18 * wave, 2),
                frost_chance=round(1 / (1 + math.exp(tmin - 5.6)), 4),
                rain_mm=round(1.6 - 0.3 * wave, 2),
                eto_mm=round(2.4 + 1.7 * wave, 2),
            )
        )
    return tuple(days)


def sample_plan() -> Plan:
    """Return the invented season as a plan."""
    plantings = _plantings()
    wants, wasted = _wants(plantings)
    wanted = sum(w.wanted for w in wants)
    missing = wanted - sum(w.met for w in wants)
    quality = Quality(
        wanted=round(wanted, 6),
        missing=round(missing, 6),
        missing_share=round(missing / wanted, 6),
        missing_share_bound=round(0.97 * missing / wanted, 6),
        bound_by="relaxation of the season's model",
        wasted=wasted,
        wasted_share=round(wasted / (wanted - missing + wasted), 6),
        sowings=len(plantings),
        proven=False,
        method="mixed-integer model",
    )
    return Plan(
        version=1,
        site=SITE,
        sky=_sky(),
        places=PLACES,
        trays=TRAYS,
        crops=CROPS,
        plantings=plantings,
        wants=wants,
        quality=quality,
        notes=("Rotation could not be kept everywhere in the Gate bed.",),
    )
