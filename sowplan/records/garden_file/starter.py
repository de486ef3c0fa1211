"""A garden file to begin with: right as it stands, and explained line by line."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby

from sowplan.quantity import FOOT_M, INCH_MM, c_to_fahrenheit
from sowplan.records.garden import Climate, Units
from sowplan.records.garden_file.values.months import MONTHS
from sowplan.records.toml.edits import basic_string
from sowplan.records.years import DAY, later


@dataclass(frozen=True)
class Start:
    """What is known of a garden before its file is written.

    ``example`` is True where the place is an example that the gardener must replace;
    ``elevation_m`` is None where it is not known; ``zone_note`` says how the time zone was found,
    ``place_of`` the town whose place it is, where that stands for the garden's.
    """

    name: str
    latitude: float
    longitude: float
    timezone: str
    season_start: date
    climate: Climate
    climate_note: str
    elevation_m: float | None = None
    height_guessed: bool = False
    units: Units = "metric"
    zone_note: str = ""
    example: bool = False
    place_of: str = ""


@dataclass(frozen=True)
class _Wish:
    """A crop of the starter: how much of it, how often, and how long until there can be any."""

    crop: str
    amount: str
    per: str
    lead_days: int
    why: str


# For cool and mild months, and for gardens that are warm all year.
_COOL = (
    _Wish("lettuce-butterhead", "2", "week", 100, "two heads a week"),
    _Wish("lettuce-loose-leaf", "1", "week", 85, "a head a week, or its worth in leaves"),
    _Wish("radish", "1", "week", 56, "a bunch a week"),
    _Wish("rocket", "1", "week", 70, "a bunch a week"),
)
_WARM = (
    _Wish("lettuce-loose-leaf", "1", "week", 85, "a head a week, or its worth in leaves"),
    _Wish("pak-choi", "2", "week", 80, "two heads a week"),
    _Wish("basil", "1", "week", 100, "a bunch a week"),
)
GROWS_FROM_C = 9.0  # monthly mean above which salads keep growing (common practice, no source)
LEAST_WINDOW_DAYS = 28
HEAD_START_DAYS = 35
WARM_FROM_C = 18.0  # of the coldest month: Köppen's bound of the tropical climates


def starter(start: Start) -> str:
    """Return the text of a garden file.

    Parameters
    ----------
    start : Start
        The place, the day to begin on and the climate to begin with.

    Returns
    -------
    str
        TOML, with a remark on every line a gardener will want to change. The season is a year
        from ``season_start``; the wants lie in those of its months in which salads grow.
    """
    end = later(start.season_start, 1) - DAY
    parts = [_top(start), _site(start), _climate(start), _season(start, end)]
    parts += [_places(start), _wants(start, end), _AFTER]
    return "\n\n".join(parts) + "\n"


def _remark(text: str) -> str:
    return "\n".join(f"# {line}" for line in textwrap.wrap(text, 88, break_on_hyphens=False))


def _top(start: Start) -> str:
    lines = [
        _remark(
            f"{start.name}: a garden file for sowplan. Change what you like, and see with "
            "`sowplan check` whether all is well; `sowplan check --keys` lists every key. "
            "What follows # is a remark."
        )
    ]
    if start.example:
        lines += [
            "",
            _remark(
                "THE PLACE BELOW IS AN EXAMPLE. Put in your own, or write the file "
                "again with `sowplan new --near TOWN --force`."
            ),
        ]
    if start.units == "imperial":
        lines += ["", 'units = "imperial"']
    return "\n".join(lines)


def _site(start: Start) -> str:
    feet = start.units == "imperial"
    example = "130 ft" if feet else "40 m"
    height, unknown = (
        "",
        f'# elevation = "{example}"        # height above the sea, if you know it\n',
    )
    if start.elevation_m is not None:
        shown = f"{start.elevation_m / FOOT_M:.0f} ft" if feet else f"{start.elevation_m:g} m"
        doubt = (
            "   # a guess from the towns around: put in your own" if start.height_guessed else ""
        )
        height = f'elevation = "{shown}"{doubt}\n'
    zone = f"  # {start.zone_note}" if start.zone_note else ""
    of = f"# The place is that of {start.place_of}; your own, from any map, is better still.\n"
    return (
        f"{of if start.place_of else ''}[site]\n"
        f"name = {basic_string(start.name)}\n"
        f"{f'latitude = {start.latitude:g}':<24}# degrees; south of the equator with a minus\n"
        f"{f'longitude = {start.longitude:g}':<24}# degrees; west of Greenwich with a minus\n"
        f"timezone = {basic_string(start.timezone)}{zone}\n"
        f"{height or unknown}"
    ).rstrip()


def _climate(start: Start) -> str:
    climate, imperial = start.climate, start.units == "imperial"

    def row(values: tuple[float, ...], digits: int) -> str:
        return ", ".join(f"{value:5.{digits}f}" for value in values)

    def shown(values: tuple[float, ...]) -> tuple[float, ...]:
        return tuple(c_to_fahrenheit(value) for value in values) if imperial else values

    lines = [
        _remark(start.climate_note),
        "[climate]",
        *(['temperature_unit = "F"', 'rain_unit = "in"'] if imperial else []),
        "#       " + " ".join(f"  {month[:3]} " for month in MONTHS).rstrip(),
        f"tmin = [{row(shown(climate.tmin), 1)}]",
        f"tmax = [{row(shown(climate.tmax), 1)}]",
    ]
    if climate.rain is not None:
        rain = tuple(r / INCH_MM for r in climate.rain) if imperial else climate.rain
        lines.append(f"rain = [{row(rain, 1 if imperial else 0)}]")
    lines.append('frost_risk = "10 %"   # in one year of ten a frost may still catch tender plants')
    lines.append('# last_frost = "none"   # where there never is a frost, whatever the means say')
    if climate.source:
        lines.append(f"source = {basic_string(climate.source)}")
    return "\n".join(lines)


def _season(start: Start, end: date) -> str:
    away = start.season_start + timedelta(days=120)
    return (
        "[season]\n"
        f"start = {start.season_start}\n"
        f"end = {end}\n"
        'sow_on = ["Saturday"]   # the days on which you sow and plant out; other jobs, and what\n'
        "#                         you harvest, go to these days too where they can wait\n"
        '# harvest_on = ["Friday"]  # the only weekdays on which you harvest, if not any day\n'
        '# never_on = ["Sunday"]  # weekdays on which nothing is done, no harvest either\n'
        f"# away = [[{away}, {away + timedelta(days=13)}]]   # when nobody is there: nothing is\n"
        '#                 wanted, sown or planted out then; add "watered" where somebody waters\n'
        "# hours_a_week = 6      # most hours of sowing, planting out and clearing in a week"
    )


_SIZES = {
    "metric": {
        "length": "2.4 m", "width": "1.2 m", "depth": "30 cm", "edge": '"5 cm"',
        "reservoir": '"80 l"', "keep_out": "pipe 10 cm round at 20 cm, 30 cm",
        "spacing": "20 cm", "warm": "18 °C", "volume": "20 l",
    },
    "imperial": {
        "length": "8 ft", "width": "4 ft", "depth": "12 in", "edge": '"2 in"',
        "reservoir": '"20 US gal"', "keep_out": "pipe 4 in round at 8 in, 12 in",
        "spacing": "8 in", "warm": "65 °F", "volume": "5 US gal",
    },
}  # fmt: skip
_PLACES = """\
# Where things grow. A bed of each kind you have; measure inside the boards.
[[bed]]
name = "Bed 1"
length = "{length}"
width = "{width}"
depth = "{depth}"
# edge = {edge:<17}# a bare margin along all sides
# reservoir = {reservoir:<12}# where the bed is watered from below
# trellis = "poleward"    # along its side away from the midday sun; for `fit` only so far
# keep_out = ["{keep_out}"]  # from the corner along, then across
# cover = "tunnel"        # or "fleece", "glass"

# [[channel]]
# name = "Channel"
# holes = 24
# spacing = "{spacing}"
# temperature = "{warm}"   # indoors: what is kept there; beds and pots take these two as well
# light = {{ hours = 14, ppfd = 200 }}   # and the lamps over it

# [[pot]]
# name = "Pots"
# count = 6
# volume = "{volume}"

# Where seedlings are raised. Without temperature and light it is as warm and bright as outside.
[[tray]]
name = "Shelf"
cells = 72
temperature = "{warm}"
light = {{ hours = 14, ppfd = 180 }}   # lamps; leave this line out on a windowsill"""

_AFTER = """\
# What is sown already, or settled.
# [[sowing]]
# crop = "garlic"
# date = 2026-05-16
# number = 24
# place = "Bed 1"
# sow = "direct"

# What stood where before, so that no family follows itself too soon.
# [[past]]
# place = "Bed 1"
# family = "Brassicaceae"
# until = 2026-07-15

# How long a family stays out of a bed it stood in, where you see it otherwise than the crop table.
# [[rotation]]
# family = "Brassicaceae"   # or "all"
# rest = "2 seasons"        # or "3 years", "18 months", "none"; a season is a year"""

_HOW = (
    '# sow = "in trays"        # or "direct" where it grows, or "bought plants"; else as is better',
    '# in = ["Bed 1"]          # it grows there only; not_in = ["Bed 1"] keeps it out',
    "# sow_at_least = 6        # plants at a time, where fewer are not worth your while",
)


def _places(start: Start) -> str:
    """Return the places; where it is always warm, the shelf is as warm as outside."""
    lines = _PLACES.format(**_SIZES[start.units]).splitlines()
    if min(_means(start)) >= WARM_FROM_C:
        lines = [line for line in lines if not line.startswith("temperature = ")]
    return "\n".join(lines)


def _means(start: Start) -> list[float]:
    """Return the mean temperature of each month [°C]."""
    return [(a + b) / 2 for a, b in zip(start.climate.tmin, start.climate.tmax, strict=True)]


def _wants(start: Start, end: date) -> str:
    means = _means(start)
    wishes = _WARM if min(means) >= WARM_FROM_C else _COOL
    lines = [
        _remark(
            "What the kitchen wants: how much of a crop, how often, from when to when. `sowplan "
            "crops` lists the crops; `sowplan when CROP --garden FILE` shows when each can be had "
            "here."
        ),
    ]
    for number, wish in enumerate(wishes):
        first, last = harvest_window(means, start.season_start, end, wish.lead_days)
        lines += [
            "[[want]]",
            f"crop = {basic_string(wish.crop)}",
            f"amount = {wish.amount}   # {wish.why}",
            f'per = "{wish.per}"',
            f"from = {first}",
            f"to = {last}",
            *(_HOW if number == 0 else ()),
            "",
        ]
    return "\n".join(lines).rstrip()


def harvest_window(means: list[float], start: date, end: date, lead_days: int) -> tuple[date, date]:
    """Return the first stretch of a season in which a salad can be had week by week.

    Parameters
    ----------
    means : list of float
        Monthly mean temperatures [°C], January first.
    start, end : date
        The season.
    lead_days : int
        Days from a sowing to its harvest in fair weather.

    Returns
    -------
    tuple of date
        First and last day: from ``lead_days`` after the season or growth begins (less a head start
        under cover, where growth is still to begin) until growth ends.
        Where no stretch of growth is that long, the latter half of the longest; where no month is
        warm enough, the latter part of the season.
    """
    growing = [mean >= GROWS_FROM_C for mean in means]
    days = [start + timedelta(days=n) for n in range((end - start).days + 1)]
    runs = [list(run) for grows, run in groupby(days, lambda day: growing[day.month - 1]) if grows]
    fit = [run for run in runs if len(run) >= lead_days + LEAST_WINDOW_DAYS]
    run = fit[0] if fit else max(runs, key=len, default=days)
    # Seedlings raised under cover have a start on a growing season that is still to come.
    ahead = min(HEAD_START_DAYS, (run[0] - start).days)
    return run[min(lead_days - ahead, len(run) // 2)], run[-1]
