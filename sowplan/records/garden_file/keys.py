"""Every key of a garden file: what it takes, its range, what it means.

This table drives the reader, its messages and the reference that
``sowplan check --keys`` prints. To add a key, add a row here and take its value
where the records are built (``garden_build``).
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Key:
    """A key of a table.

    Parameters
    ----------
    name : str
        The key as written in the file.
    kind : str
        How its value is read: a name of ``garden_values.READERS``.
    meaning : str
        What it stands for, to complete the sentence "width: how wide the bed is".
    example : str
        A value as it stands in a file.
    required : bool
    low, high : float or None
        Range, both ends allowed, in the unit the kind is kept in (m, l, °C, …).
    default : str
        What holds where the key is left out, in words; empty for a required key.
    choices : tuple of str
        Allowed words of a ``choice``.
    aliases : tuple of str
        Other names under which the key is taken.
    """

    name: str
    kind: str
    meaning: str
    example: str
    required: bool = False
    low: float | None = None
    high: float | None = None
    default: str = ""
    choices: tuple[str, ...] = ()
    aliases: tuple[str, ...] = ()


@dataclass(frozen=True)
class Table:
    """A table of the file: its name, whether it may stand many times, what it is, its keys."""

    name: str
    many: bool
    meaning: str
    keys: tuple[Key, ...]
    required: bool = False
    label: str = ""  # the key that names a row in messages

    @property
    def heading(self) -> str:
        """The heading as it stands in a file."""
        return f"[[{self.name}]]" if self.many else f"[{self.name}]"

    def key(self, name: str) -> Key | None:
        """Return the key of a name or alias."""
        return next((k for k in self.keys if name == k.name or name in k.aliases), None)


COVERS = ("none", "fleece", "tunnel", "glass")
_COVER = Key("cover", "choice", "what shelters it", '"tunnel"', default="none", choices=COVERS)


def _name(example: str) -> Key:
    return Key("name", "text", "what you call it", f'"{example}"', required=True)


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

SEASON = Table(
    "season",
    False,
    "the days to plan for; it may cross the new year, and be up to 24 months long",
    (
        Key("start", "date", "the first day", "2026-09-01", required=True),
        Key("end", "date", "the last day", "2027-08-31", required=True),
        Key(
            "sow_on",
            "weekdays",
            "the weekdays on which you sow and plant out; other jobs and harvests go to them too "
            "where they can wait",
            '["Saturday", "Sunday"]',
            default="any day",
        ),
        Key(
            "away",
            "spans",
            "when nobody is there, first and last day: nothing is wanted, sown or planted out then",
            "[[2027-01-10, 2027-01-24]]",
            default="somebody is always there",
        ),
        Key(
            "hours_a_week",
            "number",
            "most hours of sowing, potting on, planting out and clearing in any week; bringing in "
            "the harvest is not counted",
            "6",
            low=0.1,
            high=168.0,
            default="as many as it takes",
        ),
    ),
    required=True,
)

OBSTACLES = Table(
    "bed.obstacles",
    True,
    "a wall, building or tree that shades the bed",
    (
        Key(
            "bearing",
            "bearing",
            "where its middle lies from the bed: degrees from north by east, or N, NW, …",
            "315",
            required=True,
            low=0.0,
            high=360.0,
        ),
        Key("distance", "length", "how far away", '"3 m"', required=True, low=0.05, high=5000.0),
        Key(
            "height",
            "length",
            "how high above the bed",
            '"2 m"',
            required=True,
            low=0.05,
            high=3000.0,
        ),
        Key("width", "length", "how wide", '"6 m"', required=True, low=0.05, high=20000.0),
    ),
)

BED = Table(
    "bed",
    True,
    "a bed, box or border",
    (
        _name("Long bed"),
        Key("length", "length", "the long side", '"2.4 m"', required=True, low=0.1, high=1000.0),
        Key("width", "length", "the short side", '"1.2 m"', required=True, low=0.05, high=1000.0),
        Key(
            "depth",
            "length",
            "how deep the mix or dug soil is",
            '"30 cm"',
            required=True,
            low=0.02,
            high=5.0,
        ),
        Key(
            "edge",
            "length",
            "a bare margin along all sides, within length and width",
            '"5 cm"',
            low=0.0,
            high=10.0,
            default="none",
        ),
        _COVER,
        Key(
            "reservoir",
            "volume",
            "the water held under the mix, where the bed is sub-irrigated",
            '"80 l"',
            low=0.1,
            high=100_000.0,
            default="none",
        ),
        Key(
            "bearing",
            "bearing",
            "the way its length runs: degrees from north by east, or N, NE, E, …",
            "90",
            low=0.0,
            high=360.0,
            default="90, east-west",
        ),
        Key(
            "trellis",
            "choice",
            "a trellis along its side away from the midday sun, for what climbs or needs canes",
            '"poleward"',
            default="none",
            choices=("poleward", "none"),
        ),
        Key(
            "keep_out",
            "keep_outs",
            "what stands in it: its name if you like, its size, and where from the bed's corner, "
            "along the length, then across",
            '["pipe 10 cm round at 20 cm, 30 cm", "stone 30 cm x 30 cm at 1 m, 0"]',
            default="nothing",
        ),
        Key(
            "cut",
            "corner",
            "the corner an L-shaped bed lacks, far along length and width: its size along, across",
            '"1 m x 50 cm"',
            default="none",
        ),
        Key(
            "rounded",
            "rounded",
            'the radius of its rounded corners, or "ends" for half-round ends',
            '"20 cm"',
            default="square corners",
        ),
        Key(
            "obstacles",
            "obstacles",
            "what shades it; each as in [[bed.obstacles]]",
            '[{ bearing = 315, distance = "3 m", height = "2 m", width = "6 m" }]',
            default="none",
        ),
        Key(
            "count",
            "integer",
            "so many beds alike, called by the name and a number",
            "4",
            low=1,
            high=500,
            default="1",
        ),
    ),
    label="name",
)

CHANNEL = Table(
    "channel",
    True,
    "a nutrient-film channel with fixed holes",
    (
        _name("Fence channel"),
        Key("holes", "integer", "how many plants it takes", "24", required=True, low=1, high=5000),
        Key(
            "spacing",
            "length",
            "from hole to hole",
            '"20 cm"',
            required=True,
            low=0.02,
            high=3.0,
        ),
        _COVER,
        Key(
            "count",
            "integer",
            "so many channels alike, called by the name and a number",
            "2",
            low=1,
            high=500,
            default="1",
        ),
    ),
    label="name",
)

POT = Table(
    "pot",
    True,
    "pots of one size",
    (
        _name("Door pots"),
        Key("count", "integer", "how many", "6", required=True, low=1, high=5000),
        Key("volume", "volume", "the mix in each", '"20 l"', required=True, low=0.05, high=2000.0),
        _COVER,
    ),
    label="name",
)

LIGHT = Table(
    "tray.light",
    False,
    "the lamps over a tray",
    (
        Key("hours", "hours", "hours a day", "14", required=True, low=0.0, high=24.0),
        Key(
            "ppfd",
            "number",
            "photon flux density at the leaves, µmol m⁻² s⁻¹",
            "200",
            required=True,
            low=1.0,
            high=2500.0,
        ),
    ),
)

TRAY = Table(
    "tray",
    True,
    "cells to raise seedlings in",
    (
        _name("Shelf"),
        Key("cells", "integer", "how many cells", "84", required=True, low=1, high=100_000),
        Key(
            "temperature",
            "temperature",
            "the temperature kept there",
            '"19 °C"',
            low=-5.0,
            high=40.0,
            default="as the air outside",
        ),
        Key(
            "light",
            "light",
            "the lamps over it",
            "{ hours = 14, ppfd = 200 }",
            default="daylight",
        ),
        Key("light_hours", "hours", "as in light, written apart", "14", low=0.0, high=24.0),
        Key("ppfd", "number", "as in light, written apart", "200", low=1.0, high=2500.0),
        Key(
            "count",
            "integer",
            "so many trays alike; their cells are counted together",
            "4",
            low=1,
            high=500,
            default="1",
        ),
    ),
    label="name",
)

WANT = Table(
    "want",
    True,
    "what the kitchen wants",
    (
        Key("crop", "crop", "the crop", '"lettuce-butterhead"', required=True),
        Key(
            "amount",
            "amount",
            'how much each time: a number of the crop\'s own units, or "300 g", "6 plants"',
            "4",
            required=True,
        ),
        Key(
            "per",
            "per",
            'how often: "week", "fortnight", "month" (30 days), "season" or a number of days',
            '"week"',
            required=True,
            low=1,
            high=731,
        ),
        Key("from", "date", "the first day", "2026-11-14", default="the season's first day"),
        Key("to", "date", "the last day", "2027-05-28", default="the season's last day"),
        Key(
            "priority",
            "number",
            "how much it weighs when not all can be had: 2 counts double",
            "2",
            low=0.01,
            high=100.0,
            default="1",
        ),
    ),
    label="crop",
)

SOWING = Table(
    "sowing",
    True,
    "a sowing you have done or settled yourself",
    (
        Key("crop", "crop", "the crop", '"garlic"', required=True),
        Key("date", "date", "the day", "2026-05-16", required=True, aliases=("day",)),
        Key(
            "number",
            "integer",
            "how many plants",
            "24",
            required=True,
            low=1,
            high=1_000_000,
            aliases=("plants",),
        ),
        Key(
            "place",
            "text",
            "the bed, channel or pots it grows in",
            '"Long bed"',
            default="left to the plan",
            aliases=("bed",),
        ),
    ),
    label="crop",
)

PAST = Table(
    "past",
    True,
    "what stood in a bed before, for the rotation",
    (
        Key(
            "place",
            "text",
            "the bed, channel or pots",
            '"Long bed"',
            required=True,
            aliases=("bed",),
        ),
        Key(
            "family",
            "family",
            "the botanical family, or a crop of it",
            '"Brassicaceae"',
            required=True,
            aliases=("crop",),
        ),
        Key("until", "date", "the last day it stood there", "2026-07-15", required=True),
    ),
    label="place",
)

ROTATION = Table(
    "rotation",
    True,
    "how long a family stays out of a bed it stood in, where you see it otherwise than the crop "
    "table",
    (
        Key(
            "family",
            "families",
            'the botanical family, a crop of it, or "all"',
            '"Brassicaceae"',
            required=True,
            aliases=("crop",),
        ),
        Key(
            "rest",
            "rest",
            'so many years, seasons (one a year) or months, or "none"',
            '"2 seasons"',
            required=True,
            low=0.0,
            high=120.0,
        ),
    ),
    label="family",
)

TABLES: tuple[Table, ...] = (
    SITE,
    CLIMATE,
    SEASON,
    BED,
    CHANNEL,
    POT,
    TRAY,
    WANT,
    SOWING,
    PAST,
    ROTATION,
)
NESTED: dict[str, Table] = {"obstacles": OBSTACLES, "light": LIGHT}
