"""Why a sowing comes to nothing, in gardener's words."""

from __future__ import annotations

import re
from datetime import date, timedelta
from enum import IntEnum

from sowplan.quantity import Units, format_temperature
from sowplan.records.crop import Crop
from sowplan.records.garden_file.values.months import MONTHS

_NIGHT = "a night of "
"""Stands in the reasons of what dies above freezing, which is no frost."""


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

    def on(index: int) -> str:
        return day_words(start + timedelta(days=int(index)))

    later = f" until {on(until)}" if until < days else ""
    sow_from = f"; sow from {on(until)}" if until < days else ""
    critical = hours_words(crop.bolt_daylength_h) if crop.bolt_daylength_h is not None else ""
    # Temperatures are in °C here; `in_units` tells them to a gardener who thinks in °F.
    above = crop.killing_frost_c > 0
    kills = f"cold ({_NIGHT}{crop.killing_frost_c:g} °C)" if above else "frost"
    return {
        Why.FROZEN: f"the ground is frozen{later}",
        Why.SEED_COLD: f"too cold for the seed{later or ' in all the days looked at'}",
        Why.SEED_HOT: f"too hot for the seed{later or ' in all the days looked at'}",
        Why.SEEDLING_FROST: f"{kills} may kill the seedlings, up about {on(about)}{sow_from}",
        Why.SEEDLING_NIGHTS: f"nights too cold for the seedlings, up about {on(about)}{sow_from}",
        Why.SEEDLING_COLD: f"too cold outside for the seedlings, up about {on(about)}{sow_from}",
        Why.TRAY_SLOW: "too cold or too dark to raise the seedlings",
        Why.NO_PLANTING_OUT: "no time to plant it out that is warm enough and safe from "
        + ("cold nights" if above else "frost"),
        Why.OVERGROWN: f"would outgrow its cell: ready on {on(about)}, "
        f"too cold outside until {on(until)}",
        Why.OVERGROWN_NIGHTS: f"would outgrow its cell: ready on {on(about)}, "
        f"nights too cold to plant it out until {on(until)}",
        Why.OUT_COLD: f"too cold outside until {on(until)}",
        Why.OUT_NIGHTS: f"nights too cold to plant it out until {on(until)}",
        Why.FROST: f"{kills} would kill it about {on(about)}, before it is ready",
        Why.LONG_DAYS: f"days longer than {critical} make it bolt before it is ready",
        Why.HEAT: "the heat would make it bolt or turn bitter before it is ready",
        Why.WINTER: "after the cold of winter it would bolt in spring, before it is ready",
        Why.YOUNG_COLD: "cold while it is young would make it bolt before it is ready",
        Why.MILD: ("no bulb forms: " if crop.bolt_effect == "bulbs" else "")
        + "the winter here is too mild for it",
        Why.LATE_COLD: "no bulb forms: set too late for the cold it needs before the long days",
        Why.SHORT_DAYS: f"no bulb forms: days do not stay longer than {critical} long enough "
        "while it grows",
        Why.SLOW: "cold and short days would hold it up "
        + (f"until {on(about)}" if about < days - 1 else "too long"),
        Why.BEYOND: f"not ready by {on(days - 1)}, the last day looked at",
    }[why]
