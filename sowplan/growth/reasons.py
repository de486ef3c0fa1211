"""Why a sowing comes to nothing, in gardener's words."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from enum import IntEnum

from sowplan.quantity import Units, format_temperature
from sowplan.records.crop import Crop
from sowplan.records.garden_file.values.months import MONTHS

_NIGHT = "a night of "
"""Stands in the reasons of what dies above freezing, which is no frost."""
_ALL_DAYS = " in all the days looked at"


class Why(IntEnum):
    """What stands in a sowing's way, in the order of its life."""

    NOTHING = 0
    FROZEN = 1
    SEED_COLD = 2
    SEED_HOT = 3
    SEEDLING_FROST = 4
    SEEDLING_NIGHTS = 5
    SEEDLING_COLD = 6
    TRAY_SLOW = 7
    NO_PLANTING_OUT = 8
    OVERGROWN = 9
    OVERGROWN_NIGHTS = 10
    OUT_COLD = 11
    OUT_NIGHTS = 12
    FROST = 13
    LONG_DAYS = 14
    HEAT = 15
    WINTER = 16
    YOUNG_COLD = 17
    MILD = 18
    LATE_COLD = 19
    SHORT_DAYS = 20
    SLOW = 21
    BEYOND = 22


def day_words(day: date) -> str:
    """Return a date as a gardener says it: ``12 October``."""
    return f"{day.day} {MONTHS[day.month - 1]}"


def without_dates(reason: str) -> str:
    """Return a reason without its dates, so that like reasons can be told once."""
    return re.sub(rf"\d+ ({'|'.join(MONTHS)})", "", reason)


def by_cold_outside(reason: str) -> bool:
    """Tell whether frost or cold in the open is the reason, which a cover may keep off."""
    return (
        "frost" in reason
        or "too cold outside" in reason
        or _NIGHT in reason
        or "cold nights" in reason
        or "nights too cold" in reason
    )


def in_units(reason: str, units: Units) -> str:
    """Return a reason with its temperature as the gardener thinks of it."""
    if units == "metric":
        return reason
    return re.sub(r"(-?\d+(?:\.\d+)?) °C", lambda m: format_temperature(float(m[1]), units), reason)


def as_planted(words: str) -> str:
    """Return words about sowings as they are of bought plants, which are planted and not sown."""
    return re.sub(
        r"\bsow(n|ings?)?\b", lambda m: "planted" if m[1] == "n" else f"plant{m[1] or ''}", words
    )


def hours_words(hours: float) -> str:
    """Return hours without needless decimals: ``14 h``, ``13.5 h``."""
    return f"{hours:g} h"


@dataclass(frozen=True)
class _Told:
    """What the sentence of one sowing may tell; the arguments of `reason`."""

    crop: Crop
    start: date
    about: int
    until: int
    days: int

    def on(self, index: int) -> str:
        """Return a day of the series in words."""
        return day_words(self.start + timedelta(days=int(index)))

    @property
    def later(self) -> str:
        """Until when it is so; empty where it is so to the end."""
        return f" until {self.on(self.until)}" if self.until < self.days else ""

    @property
    def sow_from(self) -> str:
        """From when it may be sown; empty where it may not."""
        return f"; sow from {self.on(self.until)}" if self.until < self.days else ""

    @property
    def critical(self) -> str:
        """The day's length at which it bolts, or its bulbs form."""
        return hours_words(self.crop.bolt_daylength_h or 0.0)

    @property
    def kills(self) -> str:
        """What kills it; in °C: `in_units` tells it to a gardener who thinks in °F."""
        least_c = self.crop.killing_frost_c
        return f"cold ({_NIGHT}{least_c:g} °C)" if least_c > 0 else "frost"


_SENTENCES: dict[Why, Callable[[_Told], str]] = {
    Why.FROZEN: lambda t: f"the ground is frozen{t.later}",
    Why.SEED_COLD: lambda t: f"too cold for the seed{t.later or _ALL_DAYS}",
    Why.SEED_HOT: lambda t: f"too hot for the seed{t.later or _ALL_DAYS}",
    Why.SEEDLING_FROST: lambda t: (
        f"{t.kills} may kill the seedlings, up about {t.on(t.about)}{t.sow_from}"
    ),
    Why.SEEDLING_NIGHTS: lambda t: (
        f"nights too cold for the seedlings, up about {t.on(t.about)}{t.sow_from}"
    ),
    Why.SEEDLING_COLD: lambda t: (
        f"too cold outside for the seedlings, up about {t.on(t.about)}{t.sow_from}"
    ),
    Why.TRAY_SLOW: lambda t: "too cold or too dark to raise the seedlings",
    Why.NO_PLANTING_OUT: lambda t: (
        "no time to plant it out that is warm enough and safe from "
        + ("cold nights" if t.crop.killing_frost_c > 0 else "frost")
    ),
    Why.OVERGROWN: lambda t: (
        f"would outgrow its cell: ready on {t.on(t.about)}, too cold outside until {t.on(t.until)}"
    ),
    Why.OVERGROWN_NIGHTS: lambda t: (
        f"would outgrow its cell: ready on {t.on(t.about)}, "
        f"nights too cold to plant it out until {t.on(t.until)}"
    ),
    Why.OUT_COLD: lambda t: f"too cold outside until {t.on(t.until)}",
    Why.OUT_NIGHTS: lambda t: f"nights too cold to plant it out until {t.on(t.until)}",
    Why.FROST: lambda t: f"{t.kills} would kill it about {t.on(t.about)}, before it is ready",
    Why.LONG_DAYS: lambda t: f"days longer than {t.critical} make it bolt before it is ready",
    Why.HEAT: lambda t: "the heat would make it bolt or turn bitter before it is ready",
    Why.WINTER: lambda t: "after the cold of winter it would bolt in spring, before it is ready",
    Why.YOUNG_COLD: lambda t: "cold while it is young would make it bolt before it is ready",
    Why.MILD: lambda t: (
        ("no bulb forms: " if t.crop.bolt_effect == "bulbs" else "")
        + "the winter here is too mild for it"
    ),
    Why.LATE_COLD: lambda t: (
        "no bulb forms: set too late for the cold it needs before the long days"
    ),
    Why.SHORT_DAYS: lambda t: (
        f"no bulb forms: days do not stay longer than {t.critical} long enough while it grows"
    ),
    Why.SLOW: lambda t: (
        "cold and short days would hold it up "
        + (f"until {t.on(t.about)}" if t.about < t.days - 1 else "too long")
    ),
    Why.BEYOND: lambda t: f"not ready by {t.on(t.days - 1)}, the last day looked at",
}


def reason(why: Why, crop: Crop, start: date, about: int, until: int, days: int) -> str:
    """Return the sentence for one sowing.

    Parameters
    ----------
    why : Why
        What stands in the way.
    crop : Crop
        The crop.
    start : date
        Day 0 of the series.
    about : int
        The day on which it goes wrong; what day that is depends on ``why``.
    until : int
        First later sowing day without this hindrance (or the planting-out day it would wait for);
        ``days`` where there is none.
    days : int
        Days looked at.

    Returns
    -------
    str
        Without a full stop; empty for ``Why.NOTHING``.
    """
    if why == Why.NOTHING:
        return ""
    return _SENTENCES[why](_Told(crop, start, about, until, days))
