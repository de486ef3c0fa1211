"""Rows in which nothing is wrong, into the records of a garden."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from sowplan.records import built
from sowplan.records.crop import Crop
from sowplan.records.garden import (
    Bed,
    Channel,
    Climate,
    DayRecord,
    FixedSowing,
    Garden,
    Indoors,
    Obstacle,
    Past,
    Pot,
    Rest,
    Season,
    Site,
    Tray,
    Want,
)
from sowplan.records.garden_file.places import PLACE_TABLES, called, names_of, place_called
from sowplan.records.garden_file.rows import Row, Rows
from sowplan.records.garden_file.values.absences import PICKED


def build(rows: Rows, crops: Mapping[str, Crop], records: tuple[DayRecord, ...] = ()) -> Garden:
    """Return the garden.

    Parameters
    ----------
    rows : Rows
        Every row of the file, without a problem.
    crops : mapping of str to Crop
        The crops known, by key.
    records : tuple of DayRecord
        The weather record, where the file names one.
    """
    top, site, season = rows.one(""), rows.one("site"), rows.one("season")
    climate = rows.one("climate")
    assert top is not None and site is not None and season is not None and climate is not None
    days = _season(season)
    return Garden(
        file=rows.file,
        site=Site(
            site.get("name"),
            site.get("latitude"),
            site.get("longitude"),
            site.get("timezone"),
            site.get("elevation", 0.0),
            site.get("horizon", ()),
        ),
        climate=_climate(climate, records),
        season=days,
        beds=tuple(bed for row in rows.all("bed") for bed in _beds(row)),
        channels=tuple(channel for row in rows.all("channel") for channel in _channels(row)),
        pots=tuple(_pot(row) for row in rows.all("pot")),
        trays=tuple(_tray(row) for row in rows.all("tray")),
        wants=tuple(_want(row, rows, days, crops) for row in rows.all("want")),
        sowings=tuple(_sowing(row, rows) for row in rows.all("sowing")),
        past=tuple(past for row in rows.all("past") for past in _past(row, rows)),
        rests=tuple(
            Rest(row.get("family"), row.get("rest"), row.where) for row in rows.all("rotation")
        ),
        units=top.get("units", "metric"),
        week_start=top.get("week_start", 0),
        paper=top.get("paper", ""),
    )


def _season(row: Row) -> Season:
    away = row.get("away", ())
    return Season(
        row.get("start"),
        row.get("end"),
        row.get("sow_on", ()),
        tuple((one.first, one.last) for one in away),
        row.get("hours_a_week"),
        row.get("never_on", ()),
        tuple((one.first, one.last) for one in away if one.tended),
        tuple((one.first, one.last) for one in away if one.tended == PICKED),
        row.get("harvest_on", ()),
    )


def as_rested(crops: Mapping[str, Crop], rests: tuple[Rest, ...]) -> dict[str, Crop]:
    """Return the crops with the rests a garden file gives their families.

    Parameters
    ----------
    crops : mapping of str to Crop
        The crops known, by key.
    rests : tuple of Rest
        What the garden file says; a family by name counts before all families.
    """
    months = {rest.family: rest.months for rest in rests}
    return {
        key: crop
        if (rest := months.get(crop.family, months.get(""))) is None
        else replace(crop, rotation_gap_months=rest, table_gap_months=crop.rotation_gap_months)
        for key, crop in crops.items()
    }


def _climate(row: Row, records: tuple[DayRecord, ...]) -> Climate:
    return Climate(
        tmin=row.get("tmin", ()),
        tmax=row.get("tmax", ()),
        rain=row.get("rain"),
        records=records,
        last_frost=row.get("last_frost") or None,
        first_frost=row.get("first_frost") or None,
        frost_risk=row.get("frost_risk", 0.10),
        source=row.get("source", ""),
        frost_free=() in (row.get("last_frost"), row.get("first_frost")),
    )


def _beds(row: Row) -> Iterator[Bed]:
    obstacles = tuple(
        Obstacle(o.get("bearing"), o.get("distance"), o.get("height"), o.get("width"))
        for o in row.get("obstacles", ())
    )
    sides = row.get("length"), row.get("width")
    missing, radius = row.get("cut"), row.get("rounded")
    bed = Bed(
        name=row.get("name"),
        length_m=row.get("length"),
        width_m=row.get("width"),
        depth_m=row.get("depth"),
        where=row.where,
        edge_m=row.get("edge", 0.0),
        cover=row.get("cover", "none"),
        reservoir_l=row.get("reservoir"),
        bearing_deg=row.get("bearing", 90.0),
        obstacles=obstacles,
        trellis=row.get("trellis", "none"),
        keep_outs=row.get("keep_out", ()),
        cut_m=built.cut(missing, *sides) if missing else (),
        rounded_m=built.rounded(radius, *sides) if radius else 0.0,
        indoors=_indoors(row),
    )
    yield from (replace(bed, name=name) for name in names_of(row))


def _channels(row: Row) -> Iterator[Channel]:
    for name in names_of(row):
        cover = row.get("cover", "none")
        yield Channel(name, row.get("holes"), row.get("spacing"), row.where, cover, _indoors(row))


def _pot(row: Row) -> Pot:
    cover = row.get("cover", "none")
    return Pot(
        row.get("name"), row.get("count"), row.get("volume"), row.where, cover, _indoors(row)
    )


def _indoors(row: Row) -> Indoors | None:
    """Return what is kept where a place stands indoors; None of one outdoors."""
    warm, light = row.get("temperature"), row.get("light", [None])[0]
    if warm is None:
        return None
    return Indoors(warm, *((light.get("hours"), light.get("ppfd")) if light else (None, None)))


def _tray(row: Row) -> Tray:
    light = row.get("light", [None])[0]
    hours = light.get("hours") if light else row.get("light_hours")
    return Tray(
        name=row.get("name"),
        cells=row.get("cells") * row.get("count", 1),
        where=row.where,
        temperature_c=row.get("temperature"),
        light_hours=hours,
        ppfd=light.get("ppfd") if light else row.get("ppfd"),
    )


def _want(row: Row, rows: Rows, season: Season, crops: Mapping[str, Crop]) -> Want:
    wanted = row.get("amount")
    start, end = row.get("from", season.start), row.get("to", season.end)
    return Want(
        crop=row.get("crop"),
        amount=wanted.amount,
        unit=wanted.unit_for(crops[row.get("crop")]),
        per_days=row.get("per") or (end - start).days + 1,  # 0: once in all these days
        start=start,
        end=end,
        where=row.where,
        priority=row.get("priority", 1.0),
        places=_places(row, rows),
        raising=row.get("sow"),
        sow_at_least=row.get("sow_at_least", 1),
    )


def _places(row: Row, rows: Rows) -> tuple[str, ...]:
    """Return the places a want may grow in; none named where all of them will do."""
    if not {"in", "not_in"} & row.given.keys():
        return ()
    kept, shut = (
        {name for given in row.get(key, ()) for name in _as_named(given, rows)}
        for key in ("in", "not_in")
    )
    every = [name for place in rows.all(*PLACE_TABLES) for name in names_of(place)]
    return tuple(name for name in every if (not kept or name in kept) and name not in shut)


def _sowing(row: Row, rows: Rows) -> FixedSowing:
    place = row.get("place")
    return FixedSowing(
        crop=row.get("crop"),
        day=row.get("date"),
        plants=row.get("number"),
        where=row.where,
        place=_as_named(place, rows)[0] if place else None,
        raising=row.get("sow"),
        until=row.get("until"),
        even_so=row.get("even_so", False),
        cover=row.get("cover", "none"),
    )


def _past(row: Row, rows: Rows) -> Iterator[Past]:
    for named in row.get("place"):
        for place in _as_named(named, rows):
            yield Past(place, row.get("family"), row.get("until"), row.where)


def _as_named(place: str, rows: Rows) -> list[str]:
    """Return the names of the places meant, in their own capitals; all of a group by its name."""
    row = place_called(rows, place)
    assert row is not None  # checked before
    return called(row, place)
