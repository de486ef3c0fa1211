"""What can end a sowing: cold seed, frost, an outgrown cell, bolting, days too cold and dark.

All days of a series are looked at at once as sowing days, and of each what first stands in its
way, in the order of its life.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sowplan.growth.clock import Index, next_true, reach
from sowplan.growth.events import FROZEN_C, Events
from sowplan.growth.lying import lies_at_most
from sowplan.growth.needs import Needs
from sowplan.growth.reasons import Why
from sowplan.records.crop import Crop

# The figures below are common practice, no source.
# A seedling may stand in its cell for half as long again as it took to raise, or a fortnight.
_WAIT_SHARE, _WAIT_DAYS = 0.5, 14
# A tray too dark or cold to raise a seedling in three times its usual days raises a poor one.
_TRAY_TIMES = 3.0
# A crop held up by cold and dark beyond this many times its usual time (and a month) is past it.
_SLOW_TIMES, _SLOW_DAYS = 3.5, 30
# A tender crop does not stand through a winter, however mild: half as long again and more, and a
# month.
_TENDER_TIMES = 1.6
# A bulb crop may wait through one winter for long days; one that waits longer runs to seed.
_BULB_TIMES, _BULB_DAYS = 2.0, 90


class OpenAir(NamedTuple):
    """What a seedling finds outside, by day."""

    safe: NDArray[np.bool_] | None  # from frost where it comes up; None where that is indoors
    nights: NDArray[np.bool_]  # warm enough to stand out
    warm: NDArray[np.bool_]  # days warm enough to come up on
    but_for_nights: Index  # the first day from each on fit for planting out were they warm


class Dangers(NamedTuple):
    """Days by sowing day on which a sowing would end; the series' length where it would not."""

    frost: Index
    bolting: Index
    cause: Index  # ``Why`` it bolts


class _Found:
    """What was found first in the way of each sowing, the day it is, and until when."""

    def __init__(self, days: int):
        self.days = days
        self.why = np.zeros(days, dtype=np.int64)
        self.about = np.zeros(days, dtype=np.int64)
        self.until = np.full(days, days, dtype=np.int64)
        self.looked_at = np.full(days, days - 1)

    def hinder(
        self, code: Why | Index, bad: NDArray[np.bool_], day: Index, clear: Index | None = None
    ) -> None:
        """Note what hinders those sowings that nothing found so far does."""
        new = bad & (self.why == Why.NOTHING)
        self.why[new] = (np.broadcast_to(code, self.days))[new]
        self.about[new] = np.minimum(day, self.days - 1)[new]
        # Until the next sowing that nothing found so far hinders.
        free = next_true(self.why == Why.NOTHING)[: self.days] if clear is None else clear
        self.until[new] = free[new]


def hindrances(
    crop: Crop,
    needs: Needs,
    events: Events,
    dangers: Dangers,
    raised: bool,
    open_air: OpenAir,
    soil: NDArray[np.float64],
) -> tuple[Index, Index, Index]:
    """Find what first stands in each sowing's way, the day it does, and until when.

    Parameters
    ----------
    crop, needs, events : Crop, Needs, Events
        What is sown, what it needs, and what becomes of it on each sowing day.
    dangers : Dangers
        What would end it.
    raised : bool
        Whether it is raised in a tray, or bought.
    open_air : OpenAir
        What a seedling finds outside.
    soil : ndarray of float, shape (days,)
        Temperature of the soil in the open [°C].

    Returns
    -------
    why, about, until : ndarray of int, shape (days,)
        By sowing day, ``Why`` nothing comes of it, the day on which that is, and the first sowing
        day after it that is free of it.
    """
    found = _Found(len(soil))
    _of_seed(found, crop, events, raised, open_air, soil)
    if raised:
        _of_tray(found, crop, needs, events, open_air)
    else:
        comes_up = np.minimum(events.emergence, found.days - 1)
        found.hinder(Why.SEEDLING_NIGHTS, ~open_air.nights[comes_up], events.emergence)
        found.hinder(Why.SEEDLING_COLD, ~open_air.warm[comes_up], events.emergence)
    _of_standing(found, crop, needs, events, dangers)
    return found.why, found.about, found.until


def _of_seed(
    found: _Found,
    crop: Crop,
    events: Events,
    raised: bool,
    open_air: OpenAir,
    soil: NDArray[np.float64],
) -> None:
    """Look at the seed, and at the frost that the seedling meets in the open."""
    up, sown, days = events.emergence, np.arange(found.days), found.days
    too_hot = soil > crop.germination_optimum_c
    lies_days = lies_at_most(crop, raised, open_air.safe is not None, too_hot)
    lies = (up - sown > lies_days) | (up >= days)
    found.hinder(Why.FROZEN, (soil < FROZEN_C) & (not raised), sown)
    seen_whole = sown + lies_days < days  # else the days looked at end before the seed is up
    found.hinder(Why.BEYOND, lies & ~seen_whole, found.looked_at)
    found.hinder(np.where(too_hot, Why.SEED_HOT, Why.SEED_COLD), lies, sown)
    if open_air.safe is not None:
        unsafe_from = next_true(~open_air.safe)
        stands_until = np.where(events.fit_out < days, events.fit_out, up)
        found.hinder(Why.SEEDLING_FROST, unsafe_from[up] <= np.minimum(stands_until, days - 1), up)


def _of_tray(found: _Found, crop: Crop, needs: Needs, events: Events, open_air: OpenAir) -> None:
    """Look at the days in the tray, and at the wait for days fit for planting out."""
    up, out, fit_out, days = events.emergence, events.planting_out, events.fit_out, found.days
    slow = fit_out - up > _TRAY_TIMES * (crop.tray_days or 0.0)
    found.hinder(Why.BEYOND, (fit_out >= days) & ~slow, found.looked_at)
    found.hinder(Why.TRAY_SLOW, slow, up)
    bought = not needs.seed  # on the very day it goes out: there is no cell to wait in
    wait = 0 if bought else max(_WAIT_DAYS, _WAIT_SHARE * (crop.tray_days or 0.0))
    found.hinder(Why.NO_PLANTING_OUT, out >= days, fit_out)
    too_long = out - fit_out > wait
    nights = open_air.but_for_nights[fit_out] < out
    cold = Why.OUT_COLD if bought else Why.OVERGROWN
    cold_nights = Why.OUT_NIGHTS if bought else Why.OVERGROWN_NIGHTS
    found.hinder(cold_nights, too_long & nights, fit_out, clear=out)
    found.hinder(cold, too_long, fit_out, clear=out)


def _of_standing(found: _Found, crop: Crop, needs: Needs, events: Events, dangers: Dangers) -> None:
    """Look at what ends it where it stands, or holds it up too long."""
    ready, days = events.harvest, found.days
    ends = np.minimum(dangers.frost, dangers.bolting)
    fails = ready >= ends
    stands, bears = np.minimum(ready, days) - events.planting_out, _slowest_days(crop, needs)
    too_slow, cold = stands > bears, events.cold_wait
    if crop.bolt_effect == "bulbs":
        late_for_cold, no_bulb = _without_bulb(needs, events, ends)
        found.hinder(Why.LATE_COLD, late_for_cold, ready)
        found.hinder(Why.SHORT_DAYS, no_bulb & fails, ready)
    freezes = fails & (dangers.frost <= dangers.bolting) & (ends < days)
    found.hinder(Why.FROST, freezes, dangers.frost)
    found.hinder(dangers.cause, fails & (ends < days), dangers.bolting)
    found.hinder(Why.MILD, too_slow & (stands - cold <= bears), ready)
    found.hinder(Why.SHORT_DAYS if crop.bolt_effect == "bulbs" else Why.SLOW, too_slow, ready)
    found.hinder(Why.BEYOND, ready >= days, found.looked_at)


def _without_bulb(
    needs: Needs, events: Events, ends: Index
) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Return which sowings see a summer pass, or are full-grown and die, without forming a bulb.

    The first are those that do so for want of cold that the place has, had they been set in time.
    """
    over = np.minimum(events.begins, ends)
    summer = events.long_until < over
    would = events.begins - events.cold_wait <= events.long_until
    grown = reach(events.field, events.planting_out, needs.field) < over
    rounds = (events.cold_had < 1.0) & (events.begins < len(ends))
    return (rounds | (summer & would)) & events.cold_here, summer | grown


def _slowest_days(crop: Crop, needs: Needs) -> float:
    """Return the days beyond which a crop is past it, held up by cold and dark."""
    times, grace = _SLOW_TIMES, _SLOW_DAYS
    if crop.bolt_effect == "bulbs":
        times, grace = _BULB_TIMES, _BULB_DAYS
    return (_TENDER_TIMES if crop.tender else times) * needs.field_days + grace
