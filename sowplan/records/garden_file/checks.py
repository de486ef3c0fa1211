"""What must hold between the values of a garden file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from sowplan.problem import Exit, Problem
from sowplan.quantity import format_length
from sowplan.records.crop import Crop
from sowplan.records.garden_file.growing_checks import check_alike, check_growing
from sowplan.records.garden_file.places import (
    PLACE_TABLES,
    names_of,
    no_such_place,
    place_called,
    whole,
)
from sowplan.records.garden_file.rows import Row, Rows
from sowplan.records.garden_file.shape_checks import check_shape
from sowplan.records.garden_file.site_checks import check_climate, check_site
from sowplan.records.garden_file.values.months import WEEKDAYS
from sowplan.records.years import DAY, later

LONGEST_SEASON_YEARS = 2
_UNIT_WORDS = {"head": "heads", "bunch": "bunches", "piece": "pieces"}


def check_rows(rows: Rows, crops: Mapping[str, Crop]) -> list[Problem]:
    """Return everything that does not hold between the values of a file.

    Parameters
    ----------
    rows : Rows
        What could be read; a value that is wrong in itself is missing there, and what depends on
        it is left unsaid.
    crops : mapping of str to Crop
        The crops known, by key; empty where the table could not be read.
    """
    problems = [*check_site(rows), *check_climate(rows), *_season(rows), *_weekdays(rows)]
    problems += _names(rows)
    for row in rows.all("bed"):
        problems += [*_edge(row, rows), *check_shape(row, rows)]
    for row in rows.all(*PLACE_TABLES):
        problems += _indoors(row)
    for row in rows.all("tray"):
        problems += _light(row)
    for row in rows.all("want"):
        problems += [*_days(row, rows), *_amount(row, crops), *check_growing(row, rows, crops)]
    problems += check_alike(rows)
    for row in rows.all("sowing"):
        problems += [*_sowing_day(row, rows), *_sowing_place(row, rows, crops)]
        problems += check_growing(row, rows, crops)
    for row in rows.all("past"):
        problems += _past(row, rows)
    return [*problems, *_rests(rows), *_somewhere(rows)]


def _season(rows: Rows) -> Iterator[Problem]:
    row = rows.one("season")
    start, end = (row.get("start"), row.get("end")) if row else (None, None)
    if row is None or start is None or end is None:
        return
    if end <= start:
        message = f"The season ends before it starts, on {start}.{_other_year(end, start + DAY)}"
        yield row.problem("end", message)
    elif end > (latest := later(start, LONGEST_SEASON_YEARS) - DAY):
        yield row.problem(
            "end", f"A season is up to {12 * LONGEST_SEASON_YEARS} months long: until {latest}."
        )
    else:
        yield from _away(row, start, end)
        yield from _some_harvest(row, start, end)


def _weekdays(rows: Rows) -> Iterator[Problem]:
    """Days on which nothing is done: not all of the week, none of those to sow or harvest on."""
    row = rows.one("season")
    never = row.get("never_on", ()) if row else ()
    if len(never) == len(WEEKDAYS):
        yield row.problem("never_on", "This is every day of the week: nothing could be done.")
        return
    for key in ("sow_on", "harvest_on"):
        both = [WEEKDAYS[day] for day in (row.get(key, ()) if never else ()) if day in never]
        if both:
            message = f"{key} names this day too. Take it out of one of the two."
            yield row.problem("never_on", message, ", ".join(both))


def _some_harvest(row: Row, start: date, end: date) -> Iterator[Problem]:
    """Weekdays to harvest on: one of them comes in the season, with somebody there."""
    named = row.get("harvest_on", ())
    away = row.get("away", ())
    days = (start + timedelta(days=n) for n in range((end - start).days + 1))
    mine = [day for day in days if day.weekday() in named]
    if not named or any(all(not a <= day <= b for a, b, _ in away) for day in mine):
        return
    when = f"None of these days comes in the season, {start} to {end}"
    when = "All of these days lie in days away" if mine else when
    words = ", ".join(WEEKDAYS[day] for day in named)
    yield row.problem("harvest_on", f"{when}: nothing could be harvested.", words)


def _away(row: Row, start: date, end: date) -> Iterator[Problem]:
    """Times away: within the season, and not all of it."""
    away = row.get("away", ())
    for first, last, _ in away:
        if last < start or first > end:
            message = f"These days away lie outside the season, {start} to {end}."
            yield row.problem("away", message, f"{first}, {last}")
    if any(first <= start and end <= last for first, last, _ in away):
        yield row.problem("away", "Nobody is there all season: there is nothing to plan.")


def _other_year(day: date, first: date | None, last: date | None = None) -> str:
    """Return the same day of the year after or before, in a sentence, where that is within days."""
    days = (later(day, years) for years in (1, -1))
    fits = (one for one in days if (not first or first <= one) and (not last or one <= last))
    return next((f" Did you mean {one}?" for one in fits), "")


def _names(rows: Rows) -> Iterator[Problem]:
    """Two places, or two trays, of one name."""
    seen: dict[str, Row] = {}
    for row in rows.all(*PLACE_TABLES, "tray"):
        again = [name for name in names_of(row) if name.casefold() in seen]
        if again:
            first = seen[again[0].casefold()]
            message = f"{first.where.table} is called {again[0]} too. Give each its own name."
            yield row.problem("name", message)
        seen |= {name.casefold(): row for name in names_of(row) if name.casefold() not in seen}


def _edge(row: Row, rows: Rows) -> Iterator[Problem]:
    edge, length, width = row.get("edge"), row.get("length"), row.get("width")
    side = min((s for s in (length, width) if s is not None), default=None)
    if edge and side is not None and 2 * edge >= side:
        top = rows.one("")
        most = format_length(side / 2, top.get("units", "metric") if top else "metric")
        yield row.problem(
            "edge", f"Two edges leave nothing of the bed: edge must be less than {most}."
        )


def _light(row: Row) -> Iterator[Problem]:
    apart = [key for key in ("light_hours", "ppfd") if key in row.given]
    right = "light = { hours = 14, ppfd = 200 }"
    if apart and "light" in row.given:
        yield row.problem(apart[0], f"The light is given twice. Keep {right}.")
    elif len(apart) == 1:
        other = {"light_hours": "ppfd", "ppfd": "light_hours"}[apart[0]]
        yield row.problem(apart[0], f"{other} is missing beside it. Write {right}.")


def _indoors(row: Row) -> Iterator[Problem]:
    """Keys that go together, or do not, where a place stands indoors."""
    if "temperature" not in row.given:
        if "light" in row.given:
            message = (
                "Lamps hang over places indoors: say how warm it is there too, "
                'temperature = "18 °C".'
            )
            yield row.problem("light", message)
        return
    if row.get("cover", "none") != "none":
        message = "Its temperature says that it stands indoors, where nothing is covered. "
        yield row.problem("cover", f"{message}Take out one of the two.")
    if "obstacles" in row.given:
        message = "Its temperature says that it stands indoors, where no wall or tree counts. "
        yield row.problem("obstacles", f"{message}Take out one of the two.")


def _days(row: Row, rows: Rows) -> Iterator[Problem]:
    """A want's days: in order, and within the season."""
    first, last = row.get("from"), row.get("to")
    season = rows.one("season")
    start, end = (season.get("start"), season.get("end")) if season else (None, None)
    if not start or not end or end <= start:
        start = end = None
    if first and last and last < first:
        yield _turned(row, first, last, (start, end))
        return
    if start is None:
        return
    if first and last and (first > end or last < start):  # one slip of the year, not two of days
        last = None if first > end else last
        first = first if first > end else None
    for key, day in (("from", first), ("to", last)):
        if day and not start <= day <= end:
            least = max(start, row.get("from", start)) if key == "to" else start
            meant = _other_year(day, least, end)
            yield row.problem(key, f"The want lies outside the season, {start} to {end}.{meant}")


def _turned(row: Row, first: date, last: date, season: tuple[date | None, date | None]) -> Problem:
    """Return the problem of a want that ends before it begins, with the day that would be right."""
    start, end = season
    message = f"The want ends before it begins, on {first}."
    outside = start is not None and not start <= first <= end
    if outside:
        message += f" The season is {start} to {end}."
        meant = _other_year(first, start, min(last, end)).replace("mean ", "mean from = ")
    else:
        meant = _other_year(last, first, end)
    if not meant and (start is None or start <= last):
        meant = " Are from and to exchanged?"
    return row.problem("to", message + meant)


def _amount(row: Row, crops: Mapping[str, Crop]) -> Iterator[Problem]:
    """An amount counted in a unit that is not the crop's."""
    crop = crops.get(row.get("crop", ""))
    if crop is None:
        return
    wanted = row.get("amount")
    if wanted and wanted.unit_for(crop) is None:
        how = 'weighed: write a weight, such as "1.5 kg"'
        if crop.harvest_unit != "kg":
            counted = _UNIT_WORDS[crop.harvest_unit]
            how = f'counted in {counted}: write how many, a weight, such as "300 g"'
        message = f'{crop.name} is {how}, or "6 plants".'
        yield row.problem("amount", message)


def _sowing_day(row: Row, rows: Rows) -> Iterator[Problem]:
    season, day = rows.one("season"), row.get("date")
    start, end = (season.get("start"), season.get("end")) if season else (None, None)
    if not day or not start or not end or end <= start:
        return
    if day > end:
        yield row.problem("date", f"The sowing lies after the season's end, {end}.")
    elif day < later(start, -LONGEST_SEASON_YEARS):
        yield row.problem("date", f"The sowing lies years before the season, from {start} on.")
    until = row.get("until")
    if until and until <= day:
        message = (
            f"It is cleared before it is sown, on {day}.{_other_year(until, max(day + DAY, start))}"
        )
        yield row.problem("until", message)
    elif until and until < start:
        message = f"It is gone before the season begins, on {start}: write it as a [[past]]."
        yield row.problem("until", message)


def _sowing_place(row: Row, rows: Rows, crops: Mapping[str, Crop]) -> Iterator[Problem]:
    crop, name = crops.get(row.get("crop", "")), row.get("place")
    if name is None:
        return
    place = place_called(rows, name)
    if place is None:
        if whole(rows, *PLACE_TABLES):
            yield row.problem("place", no_such_place(rows, name))
        return
    names = names_of(place)
    if len(names) > 1 and name.casefold() not in (n.casefold() for n in names):
        yield row.problem("place", f"There are {len(names)}: say which, such as '{names[0]}'.")
    number, table = row.get("number"), place.table.name
    covered = row.get("cover", "none") != "none"
    shelter = "indoors" if "temperature" in place.given else place.get("cover", "none")
    if covered and (table != "bed" or shelter != "none"):
        why = "stands indoors" if shelter == "indoors" else f"has a cover already, {shelter}"
        message = f"{names[0]} {why if shelter != 'none' else 'is no bed'}: a cover is laid over "
        yield row.problem("cover", f"{message}what grows in a bed in the open.")
    room = {"channel": "holes", "pot": "count"}.get(table)
    if table == "channel" and crop is not None and not crop.channel:
        message = f"{crop.name} does not suit a channel: name a bed or a pot."
        yield row.problem("place", message, exit=Exit.IMPOSSIBLE)
    elif table == "channel" and number and place.get(room) and number > place.get(room):
        message = f"{place.get('name')} has {place.get(room)} holes."
        yield row.problem("number", message, exit=Exit.IMPOSSIBLE)


def _past(row: Row, rows: Rows) -> Iterator[Problem]:
    for name in row.get("place", ()):
        if place_called(rows, name) is None and whole(rows, *PLACE_TABLES):
            yield row.problem("place", no_such_place(rows, name), name)
    season, until = rows.one("season"), row.get("until")
    end = season.get("end") if season else None
    if until and end and until > end:
        yield row.problem("until", f"This day lies after the season's end, {end}.")


def _rests(rows: Rows) -> Iterator[Problem]:
    """A family given two rests."""
    seen: dict[str, Row] = {}
    for row in rows.all("rotation"):
        family = row.get("family")
        if family is not None and family in seen:
            message = f"{seen[family].where.table} gives the rest of this family already."
            yield row.problem("family", message)
        elif family is not None:
            seen[family] = row


def _somewhere(rows: Rows) -> Iterator[Problem]:
    """Wants in a garden that has nowhere to grow them."""
    if rows.by_table.get("want") and not any(rows.all(*PLACE_TABLES)):
        if whole(rows, *PLACE_TABLES):
            row = next(rows.all("want"))
            message = "The garden has nowhere to grow: add a [[bed]], [[channel]] or [[pot]]."
            yield row.problem("", message, exit=Exit.IMPOSSIBLE)
