"""What a plan says of its garden: where it lies, its days and weather, its places, its crops."""

from __future__ import annotations

import math
import uuid

from sowplan.records.crop import Crop
from sowplan.records.garden import Bed, Channel
from sowplan.season.choices.book import Book, Place
from sowplan.season.plan import PlaceKind, PlanCrop, PlanPlace, PlanSite, SkyDay
from sowplan.site.evapotranspiration import reference_evapotranspiration
from sowplan.site.shade import DirectSun

PLAN_IDS = uuid.UUID("6f0b1c5e-6d0e-5d0a-9a53-0f6c1f7d2b11")
"""Name space of plan identities; never changes."""

SAME_NAMES = tuple(
    "key name botanical_name family group harvest harvest_unit units_per_plant kg_per_plant "
    "spacing_cm row_spacing_cm sowing_depth_mm seeds_per_cell plants_per_cell germination_percent "
    "spread_cm height_m tender support kc_initial kc_mid kc_end rooting_depth_m pot_litres "
    "keeps_days".split()
)


def plan_crop(crop: Crop) -> PlanCrop:
    """Return what outputs need of a crop."""
    return PlanCrop(**{name: getattr(crop, name) for name in SAME_NAMES})


def kind_of(place: Place) -> PlaceKind:
    """Return the kind of a place."""
    if isinstance(place, Bed):
        return "bed"
    return "channel" if isinstance(place, Channel) else "pot"


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
