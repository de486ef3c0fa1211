"""What in a garden file is right and yet may not be meant: said by ``check``, never in the way."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from sowplan.quantity import format_length, format_mass, format_volume
from sowplan.records.crop import Crop
from sowplan.records.garden import Garden, Units, Want


def remarks(garden: Garden, crops: Mapping[str, Crop]) -> list[str]:
    """Return sentences on what may not be meant, each with its place in the file.

    Parameters
    ----------
    garden : Garden
        Read and checked.
    crops : mapping of str to Crop
        The crops known, by key.
    """
    return [
        *_sizes(garden),
        *_weighed(garden, crops),
        *_wanted_twice(garden, crops),
        *_while_away(garden, crops),
        *_on_idle_days(garden, crops),
        *_too_soon(garden, crops),
        *_resting(garden, crops),
        *_between_harvests(garden, crops),
    ]


_USUAL_M = {
    "length": (0.3, 100.0, 0.8, 30.0),
    "width": (0.15, 6.0, 0.4, 2.0),
    "depth": (0.08, 1.0, 0.15, 0.6),
    "spacing": (0.06, 0.8, 0.1, 0.4),
}
"""Sides of beds, their depth, the way between holes of a channel [m]: what is asked about below
and above, and what most are between (common practice, no source)."""
_SLIPS = {"metric": (0.01, 0.1, 10.0, 100.0), "imperial": (1 / 12, 0.1, 12.0, 10.0)}
"""What a size may be out by: metres for centimetres, feet for inches, a decimal point."""
_MOST_POT_L = 300.0


def _sizes(garden: Garden) -> Iterator[str]:
    """Sizes far from what beds, channels and pots are, by a slip of unit or decimal point."""
    asked: dict[tuple[str, str, float], None] = {}  # beds of one row once
    for bed in garden.beds:
        for key, size in (
            ("length", bed.length_m), ("width", bed.width_m), ("depth", bed.depth_m),
        ):  # fmt: skip
            asked[bed.where.table, key, size] = None
    for channel in garden.channels:
        asked[channel.where.table, "spacing", channel.spacing_m] = None
    for table, key, size in asked:
        others = {one for where, other, one in asked if other == key and where != table}
        unusual, meant = _slip(key, size, others, garden.units)
        if unusual:
            perhaps = f"; {format_length(meant, garden.units)} would be usual" if meant else ""
            yield f"{table}, {key}: {format_length(size, garden.units)} is far from usual{perhaps}."
    for pot in garden.pots:
        if pot.volume_l > _MOST_POT_L:
            shown = format_volume(pot.volume_l, garden.units)
            yield f"{pot.where.table}, volume: {shown} is much for each pot."


def _slip(key: str, size: float, others: set[float], units: Units) -> tuple[bool, float | None]:
    """Return whether a size is far from usual, and what it is a slip of, if that is known.

    One that is large and ten times another's is asked about as well.
    """
    least, most, low, high = _USUAL_M[key]
    tenth = next((one for one in sorted(others) if abs(10 * one - size) < 1e-6), None)
    if tenth is not None and size > high / 2:
        return True, tenth
    if least <= size <= most:
        return False, None
    usual = (size * slip for slip in _SLIPS[units] if low <= size * slip <= high)
    return True, next(usual, None)


def _weighed(garden: Garden, crops: Mapping[str, Crop]) -> Iterator[str]:
    """Bare numbers of what is weighed: two of it are two kilograms."""
    from sowplan.records.text_file import read_text
    from sowplan.records.toml.spots import find_spots

    if all(want.unit != "kg" for want in garden.wants):
        return
    text, _ = read_text(garden.file, "garden file")
    spots = find_spots(text or "")
    for number, want in enumerate(garden.wants):
        written = spots.text(("want", number, "amount"))
        if want.unit == "kg" and written[:1].isdigit():
            name = crops[want.crop].name
            kilograms, other = f"{written} kg", "500 g"
            if garden.units == "imperial":
                kilograms, other = f"{written} kg, {format_mass(want.amount, 'imperial')}", "1 lb"
            yield (
                f"{want.where.table}, amount: {name} is weighed, so {written} is {kilograms}: "
                f'write "{written} kg", or what you mean, as "{other}" or "6 plants".'
            )


def _wanted_twice(garden: Garden, crops: Mapping[str, Crop]) -> Iterator[str]:
    """One crop wanted by two tables over the same days, by design or by a slip."""
    for number, want in enumerate(garden.wants):
        for other in garden.wants[:number]:
            first, last = max(want.start, other.start), min(want.end, other.end)
            if want.crop == other.crop and first <= last:
                at = (other.where.line, want.where.line)
                lines = f" (lines {at[0]} and {at[1]})" if all(at) else ""
                name = crops[want.crop].name
                yield (
                    f"{name} is wanted twice from {first} to {last}{lines}: "
                    f"{wanted_text(other, garden)} and {wanted_text(want, garden)} are added up."
                )


def wanted_text(want: Want, garden: Garden) -> str:
    """Return how much is wanted and how often, as it is planned for: ``"2 heads a week"``."""
    from sowplan.season.periods import want_periods
    from sowplan.supply.wording import amount_text, every_text

    periods = len(want_periods(want, garden.season.away))
    much = amount_text(want.amount, want.unit, garden.units)
    return f"{much} {every_text(want.per_days, periods)}"


def _while_away(garden: Garden, crops: Mapping[str, Crop]) -> Iterator[str]:
    """Wants and sowings that lie in days on which nobody is there."""
    for first, last in garden.season.away:
        for want in garden.wants:
            if first <= want.start and want.end <= last:
                yield (
                    f"{want.where.table}: nobody is there from {first} to {last}, so "
                    f"none of the {crops[want.crop].name} is planned for."
                )
        for sowing in garden.sowings:
            if first <= sowing.day <= last:
                do = "plant out" if sowing.raising == "bought plants" else "sow"
                yield (
                    f"{sowing.where.table}: nobody is there on {sowing.day}; somebody else has to "
                    f"{do} the {crops[sowing.crop].name}."
                )


def _on_idle_days(garden: Garden, crops: Mapping[str, Crop]) -> Iterator[str]:
    """Sowings settled for a weekday on which nothing is to be done; not what stands already."""
    from sowplan.records.garden_file.values.months import WEEKDAYS

    for sowing in garden.sowings:
        idle = sowing.day.weekday() in garden.season.never_on
        if idle and sowing.day >= garden.season.start:
            yield (
                f"{sowing.where.table}: {sowing.day} is a {WEEKDAYS[sowing.day.weekday()]}, and "
                f"never_on has nothing done on it; the {crops[sowing.crop].name} is planned for "
                "that day all the same."
            )


_TURN = timedelta(days=365)
"""For so long what follows its own family in a bed is of one turn, as it is planned."""
_RAISED = timedelta(days=90)
"""So late at most what is raised is planted out (common practice, no source)."""


def _too_soon(garden: Garden, crops: Mapping[str, Crop]) -> Iterator[str]:
    """Sowings settled for a bed that still rests from their family."""
    beds = {bed.name for bed in garden.beds}
    for sowing in garden.sowings:
        crop = crops[sowing.crop]
        months, rest = crop.rotation_gap_months, timedelta(days=crop.rotation_gap_days)
        if sowing.place not in beds or sowing.day < garden.season.start or not rest:
            continue
        raised = crop.start != "direct" and sowing.raising not in ("direct", "bought plants")
        into = sowing.day + _RAISED if raised else sowing.day
        planned = f"the {crop.name} is planned there all the same."
        before = [
            f"{crop.family} stood in {past.place} until {past.until}"
            for past in garden.past
            if (past.place, past.family) == (sowing.place, crop.family)
            and past.until < sowing.day
            and into <= past.until + rest
        ]
        before += [
            f"{other.where.table} puts {crop.family} into {other.place} on {other.day}"
            for other in garden.sowings
            if (other.place, crops[other.crop].family) == (sowing.place, crop.family)
            and other.day + _TURN <= sowing.day
            and into <= (other.until or other.day) + rest
        ]
        for words in before[:1]:
            yield f"{sowing.where.table}: {words}, where it rests {months:g} months; {planned}"


def _resting(garden: Garden, crops: Mapping[str, Crop]) -> Iterator[str]:
    """Wants whose family rests in every bed they may grow in, longer than it usually would."""
    beds = [bed.name for bed in garden.beds]
    others = {place.name for place in garden.places} - set(beds)
    for want in garden.wants:
        crop = crops[want.crop]
        rest, mine = timedelta(days=crop.rotation_gap_days), want.places or (*beds, *others)
        usual = crop.table_gap_months
        longer = usual is not None and crop.rotation_gap_months > usual
        if not longer or not mine or others & set(mine):
            continue
        until = {
            past.place: past.until + rest for past in garden.past if past.family == crop.family
        }
        opens = min(until.get(name, date.min) for name in mine)
        if opens >= want.end:
            yield (
                f"{want.where.table}: {crop.family} rests until {opens} at the earliest in every "
                f"bed {crop.name} may grow in ([[past]], [[rotation]]), and it is wanted until "
                f"{want.end}."
            )


def _between_harvests(garden: Garden, crops: Mapping[str, Crop]) -> Iterator[str]:
    """Wants so often that what was brought in on the last harvest day is past eating."""
    from sowplan.records.garden_file.values.months import WEEKDAYS
    from sowplan.season.periods import harvest_weekdays, want_periods
    from sowplan.season.words import listed

    weekdays = harvest_weekdays(garden.season) if garden.season.harvest_on else ()
    for want in garden.wants if weekdays else ():
        crop = crops[want.crop]
        keeps = timedelta(days=int(crop.keeps_days))
        periods = want_periods(want, garden.season.away)
        if any(not _has_weekday(first - keeps, last, weekdays) for first, last in periods):
            days = listed([f"{WEEKDAYS[day]}s" for day in weekdays])
            yield (
                f"{want.where.table}: harvested on {days} only, the {crop.name} keeps "
                f"{keeps.days} days; some of it is wanted later than that."
            )


def _has_weekday(first: date, last: date, weekdays: tuple[int, ...]) -> bool:
    """Return whether some days have one of the weekdays among them."""
    many = min((last - first).days + 1, 7)
    return any((first.weekday() + n) % 7 in weekdays for n in range(many))
