"""When a sowing runs to seed: by long days, by heat, by cold while young, or after a winter.

A biennial that was past the seedling stage while it was cold shoots as soon as days are long
again, whatever it was meant to be picked for: an overwintered leek stands until it does. Pak choi
and its like, which bolt in long days anyway, have no such stage: cold counts from their first leaf.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sowplan.growth.clock import Index, clock, moment, whole_days
from sowplan.growth.conditions import Weather
from sowplan.growth.events import Events
from sowplan.growth.needs import Needs
from sowplan.growth.reasons import Why
from sowplan.growth.response import heat_urge, long_day_urge
from sowplan.records.crop import Crop

# Share of its time from emergence to harvest that a crop planted out can bear of full long days
# before it bolts; heat counts half as much again. Common practice, no source.
_BOLT_SHARE, _HEAT_WEIGHT = 0.615, 1.5
# One sown direct feels the days from its first true leaves on, after this share of that time:
# spinach raised in 16 h bolts well before spinach raised in 10 h and 13 h (Kim et al. 2000,
# HortScience 35:43; Chun et al. 2001, HortScience 36:889). The share itself is from memory.
_BLIND_SHARE = 0.1
# Long days are not forgotten: what has had this share of those it can bear goes on to bolt at this
# speed at the least, however much shorter the days become. From memory; spinach raised in long
# days keeps its start over that raised in short ones (both papers).
_SET_SHARE, _SET_SPEED = 0.35, 0.75

# The figures below are from memory. Biennials take cold to heart when past a juvenile size (a
# carrot's eighth leaf, a cabbage as thick as a pencil): here this share of their growth in the
# place. Daily means [°C] at which cold counts in full and not at all; 5 to 10 °C is the best for
# most, and little happens above 15.
_JUVENILE_SHARE = 0.2
_COLD_FULL_C, _COLD_NONE_C = 8.0, 15.0
# Then the stalk rises in days longer than this [h], and is plain to see after as many days of
# growth as good weather brings. Chosen so that leeks go over about the end of April or early in
# May at 51.5° N and about the first of November at 43° S: common practice, no source.
_SHOOTING_DAY_H, _SHOOTING_DAYS = 12.5, 25.0
# Annual brassicas feel the cold from emergence on (Wurr et al. 1996, of Chinese cabbage; Li and
# Shao 1957, of pak choi and mustards) and shoot sooner, in shorter days. Two and three weeks of
# 12 °C make Chinese cabbage bolt sooner than one (Scientia Horticulturae 25:217). The share of
# cold and the two figures below are from memory.
_ANNUAL_DAY_H, _ANNUAL_DAYS = 11.0, 20.0


class Bolting(NamedTuple):
    """By sowing day: the day it runs to seed, the series' length where not, and ``Why``.

    ``time`` is the same in the mean of all weathers, to the fraction of a day.
    """

    day: Index
    why: Index
    time: NDArray[np.float64]


def bolting(
    crop: Crop, needs: Needs, place: Weather, daylength: NDArray[np.float64], events: Events
) -> Bolting:
    """Return when and why each day's sowing runs to seed.

    Parameters
    ----------
    crop : Crop
    needs : Needs
    place : Weather
        The weather where it grows on, shape (days,).
    daylength : ndarray, shape (days,)
        Sunrise to sunset, or of lamps [h].
    events : Events
        Of all days as sowing days.

    Returns
    -------
    Bolting
        Arrays of shape (days,).
    """
    tmean = place.tmean
    # Bolting is development too: a day counts as much as the crop grows on it.
    growing = np.diff(events.field) / needs.field_rate
    time, mostly_heat = _in_season(crop, needs, tmean, daylength, growing, events)
    season = whole_days(time)
    if _annual(crop) and crop.chill_days is None:
        season = _as_likely(time, needs, events)
    shoots = _after_winter(crop, needs, tmean, daylength, growing, events)
    spring = whole_days(shoots)
    why = np.where(mostly_heat, Why.HEAT, Why.LONG_DAYS)
    cold = Why.YOUNG_COLD if _annual(crop) else Why.WINTER
    why = np.where(spring < season, cold, why)
    return Bolting(np.minimum(season, spring), why, np.minimum(time, shoots))


def _annual(crop: Crop) -> bool:
    """Return whether it is an annual, which days alone make bolt, and not a biennial."""
    return crop.bolt_effect == "bolts"


def _as_likely(time: NDArray[np.float64], needs: Needs, events: Events) -> Index:
    """Return bolting, in the mean weather, as far from the likely harvest as from that weather's.

    The two are a day or so apart, by rounding and by what warm years gain more than cold ones lose.
    Where every day is long, bolting comes near the harvest whenever it is sown: this day would
    decide, now so and now so from one week to the next. So they are set against each other to the
    fraction of a day: what is fit before it bolts stands for a day at the least.
    """
    days = len(time)
    ready = moment(events.field, events.planting_out, needs.field)
    told = (time < days) & (ready < days) & (events.harvest < days)
    apart = whole_days(time - ready)
    moved = np.clip(events.harvest + apart, events.planting_out, days)
    return np.where(told, moved, whole_days(time))


def _in_season(
    crop: Crop,
    needs: Needs,
    tmean: NDArray[np.float64],
    daylength: NDArray[np.float64],
    growing: NDArray[np.float64],
    events: Events,
) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """Return when long days and heat have made a sowing bolt [d], and whether mostly the heat."""
    by_day = by_heat = np.zeros(len(tmean))
    if crop.bolt_effect == "bolts" and crop.bolt_daylength_h is not None:
        by_day = long_day_urge(daylength, crop.bolt_daylength_h) * growing
    if crop.bolt_heat_c is not None:
        by_heat = _HEAT_WEIGHT * heat_urge(tmean, crop.bolt_heat_c)
    urge, heat = clock(by_day + by_heat), clock(by_heat)
    # Planting out is the day of emergence, where sown direct. A raised seedling's days are those
    # of its shelf, which are the gardener's to choose. In long days from the first to the last
    # either can bear its time as a seedling, and `_BOLT_SHARE` on top.
    blind = min(_BLIND_SHARE * needs.whole_days * needs.field_rate, needs.seedling)
    begin = moment(events.field, events.planting_out, blind)
    bears = _BOLT_SHARE * needs.whole_days + (needs.seedling - blind) / needs.field_rate
    bolts = moment(urge, begin, bears)
    if by_day.any():
        is_set = moment(clock(by_day), begin, _SET_SHARE * bears)
        rises = clock(np.maximum(by_day, _SET_SPEED * growing) + by_heat)
        bolts = np.minimum(bolts, moment(rises, is_set, (1.0 - _SET_SHARE) * bears))
    hot, all_of_it = (_between(readings, begin, bolts) for readings in (heat, urge))
    return bolts, hot > 0.5 * all_of_it


def _between(
    readings: NDArray[np.float64], begin: NDArray[np.float64], end: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return by how much a clock runs on between two times."""
    first, last = (np.interp(time, np.arange(len(readings)), readings) for time in (begin, end))
    return last - first


def _after_winter(
    crop: Crop,
    needs: Needs,
    tmean: NDArray[np.float64],
    daylength: NDArray[np.float64],
    growing: NDArray[np.float64],
    events: Events,
) -> NDArray[np.float64]:
    """Return when a sowing that stood through cold shoots [d], young or past its youth."""
    days = len(tmean)
    if crop.bolt_chill_days is None:
        return np.full(days, float(days))
    cold = clock(np.clip((_COLD_NONE_C - tmean) / (_COLD_NONE_C - _COLD_FULL_C), 0.0, 1.0))
    juvenile, day_h, shooting_days = _JUVENILE_SHARE, _SHOOTING_DAY_H, _SHOOTING_DAYS
    if _annual(crop):
        juvenile, day_h, shooting_days = 0.0, _ANNUAL_DAY_H, _ANNUAL_DAYS
    feels = moment(events.field, events.planting_out, juvenile * needs.field)
    chilled = moment(cold, feels, crop.bolt_chill_days)
    return moment(clock(growing * (daylength > day_h)), chilled, shooting_days)
