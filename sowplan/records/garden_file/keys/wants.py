"""Keys of what is wanted, sown already, stood before, and has to rest."""

from __future__ import annotations

from typing import get_args

from sowplan.records.garden import Raising
from sowplan.records.garden_file.keys.row import Key, Table

RAISING = get_args(Raising)
LAID = ("none", "fleece", "tunnel")

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
        Key(
            "sow",
            "choice",
            "where it is sown: straight where it grows, or in trays and planted out; or bought as "
            "young plants",
            '"direct"',
            default="as suits the crop, and whichever is better",
            choices=RAISING,
            aliases=("raise",),
        ),
        Key(
            "in",
            "names",
            "the only beds, channels or pots it may grow in",
            '["Long bed", "Door pots"]',
            default="wherever it suits",
            aliases=("place", "places"),
        ),
        Key(
            "not_in",
            "names",
            "beds, channels or pots it is kept out of",
            '["Fence channel"]',
            default="none",
        ),
        Key(
            "sow_at_least",
            "integer",
            "the fewest plants worth sowing in one place at a time",
            "36",
            low=1,
            high=100_000,
            default="a handful, or a row",
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
        Key(
            "sow",
            "choice",
            "where it is sown: straight where it grows, or in trays and planted out; or bought as "
            "young plants, and planted out on this day",
            '"bought plants"',
            default="as the wishes for it say, else as the crop is usually raised",
            choices=RAISING,
            aliases=("raise",),
        ),
        Key(
            "until",
            "date",
            "the last day it stands, where it is cleared before it has given all",
            "2027-02-25",
            default="as long as there is something to harvest",
        ),
        Key(
            "even_so",
            "yes_or_no",
            "true where it stands, or is to be sown, though nothing may come of it: it takes its "
            "ground, and no harvest is counted on but of what is potted on and held for its place",
            "true",
            default="a sowing of which nothing would come is told as a mistake",
            aliases=("anyway",),
        ),
        Key(
            "cover",
            "choice",
            "what you lay over it while it stands in its bed, where that is in the open; lift it "
            "while something flowers that insects have to reach",
            '"fleece"',
            default="none but that of its bed",
            choices=LAID,
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
            "names",
            "the bed, channel or pots, or several of them",
            '"Long bed"',
            required=True,
            aliases=("bed", "places"),
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
