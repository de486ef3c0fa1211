"""Keys of the head of a garden file: its units, where the garden is, and its climate."""

from __future__ import annotations

from sowplan.records.garden_file.keys.row import Key, Table

TOP = Table(
    "",
    False,
    "at the top of the file, before the first table",
    (
        Key(
            "units",
            "choice",
            "the units of everything sowplan shows",
            '"imperial"',
            default="metric",
            choices=("metric", "imperial"),
        ),
        Key(
            "paper",
            "choice",
            "the paper of the sheets to print",
            '"letter"',
            default="A4; Letter with imperial units",
            choices=("a4", "letter"),
        ),
        Key(
            "week_start",
            "weekday",
            "the day a week begins on in tables and pictures",
            '"Sunday"',
            default="Monday",
        ),
        Key(
            "crops",
            "path",
            "a crop table of your own beside this file, for further crops or other figures",
            '"my-crops.csv"',
            default="only the built-in crops",
        ),
    ),
)

SITE = Table(
    "site",
    False,
    "where the garden is",
    (
        Key("name", "text", "what you call the garden", '"Home"', required=True),
        Key(
            "latitude",
            "latitude",
            "degrees north; in the south with a minus",
            "-41.3",
            required=True,
            low=-90.0,
            high=90.0,
        ),
        Key(
            "longitude",
            "longitude",
            "degrees east; west of Greenwich with a minus",
            "147.1",
            required=True,
            low=-180.0,
            high=180.0,
        ),
        Key(
            "timezone",
            "timezone",
            "the time zone, by its tz database name",
            '"Australia/Hobart"',
            required=True,
        ),
        Key(
            "elevation",
            "elevation",
            "height above the sea",
            '"40 m"',
            low=-450.0,
            high=6000.0,
            default="0 m",
        ),
        Key(
            "horizon",
            "horizon",
            "hills and houses all around: the way you look and how high the sky begins, in degrees",
            '[["N", 5], ["E", 12], ["S", 3], ["W", 20]]',
            low=0.0,
            high=85.0,
            default="open all around",
        ),
    ),
    required=True,
    label="name",
)

_TWELVE = "twelve values, January to December, of the mean daily"
CLIMATE = Table(
    "climate",
    False,
    "the weather to expect: monthly means, or a daily record",
    (
        Key(
            "tmin",
            "temperatures",
            f"{_TWELVE} minimum",
            "[12, 12, 10, 7, 5, 3, 2, 4, 5, 7, 9, 11]",
            low=-70.0,
            high=45.0,
            default="taken from records",
        ),
        Key(
            "tmax",
            "temperatures",
            f"{_TWELVE} maximum",
            "[24, 25, 22, 19, 16, 13, 12, 14, 16, 18, 20, 22]",
            low=-60.0,
            high=60.0,
            default="taken from records",
        ),
        Key(
            "rain",
            "rains",
            "twelve monthly totals of rain",
            "[46, 37, 40, 59, 64, 67, 80, 86, 68, 50, 54, 50]",
            low=0.0,
            high=5000.0,
            default="unknown",
        ),
        Key(
            "records",
            "path",
            "instead of tmin and tmax: a CSV file beside this one, with columns date, tmin, tmax "
            "and, where you have it, rain; every day of one whole year at least",
            '"weather.csv"',
            default="tmin and tmax are used",
        ),
        Key(
            "temperature_unit",
            "choice",
            "the unit of tmin and tmax, here and in records",
            '"F"',
            default="C",
            choices=("C", "F"),
        ),
        Key(
            "rain_unit",
            "choice",
            "the unit of rain, here and in records",
            '"in"',
            default="mm",
            choices=("mm", "in"),
        ),
        Key(
            "last_frost",
            "frost_day",
            'month and day of the last frost of spring, if you know it better; "none" where there '
            "is never any",
            '"10-15"',
            default="worked out from the temperatures",
        ),
        Key(
            "first_frost",
            "frost_day",
            'month and day of the first frost of autumn, if you know it better; or "none"',
            '"04-20"',
            default="worked out from the temperatures",
        ),
        Key(
            "frost_risk",
            "percent",
            "the share of years in which you accept a frost on tender plants",
            '"10 %"',
            low=0.005,
            high=0.5,
            default="10 %",
        ),
        Key("source", "text", "where these figures come from", '"the airport, 1991-2020"'),
    ),
    required=True,
)
