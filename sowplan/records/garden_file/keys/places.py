"""Keys of what crops are raised and grown in: beds, channels, pots and trays."""

from __future__ import annotations

from sowplan.records.garden_file.keys.row import Key, Table, name_key

COVERS = ("none", "fleece", "tunnel", "glass")
_COVER = Key("cover", "choice", "what shelters it", '"tunnel"', default="none", choices=COVERS)
_LAMPS = "{ hours = 14, ppfd = 200 }"
_INDOORS = (
    Key(
        "temperature",
        "temperature",
        "the temperature kept there, where it stands indoors: out of rain and frost, without a "
        "cover",
        '"18 °C"',
        low=-5.0,
        high=40.0,
        default="outdoors",
    ),
    Key(
        "light",
        "light",
        "the lamps over it, where it stands indoors",
        _LAMPS,
        default="daylight, by a window where indoors",
    ),
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
        name_key("Long bed"),
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
        *_INDOORS,
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
            "a trellis along its side away from the midday sun, for what climbs or needs canes; "
            "`sowplan fit` sets plants along it, a plan still in its usual rows",
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
        name_key("Fence channel"),
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
        *_INDOORS,
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
        name_key("Door pots"),
        Key("count", "integer", "how many", "6", required=True, low=1, high=5000),
        Key("volume", "volume", "the mix in each", '"20 l"', required=True, low=0.05, high=2000.0),
        _COVER,
        *_INDOORS,
    ),
    label="name",
)

LIGHT = Table(
    "tray.light",
    False,
    "the lamps over a tray, or over a bed, channels or pots indoors",
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
        name_key("Shelf"),
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
            _LAMPS,
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
