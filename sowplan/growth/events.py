"""When a sowing comes up, can be planted out and is fit to harvest, in every weather at hand.

Works on all days of the series at once as sowing days; the caller picks those it wants.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sowplan.growth.clock import Index, clock, moment, next_true, ranked, reach
from sowplan.growth.conditions import Weather
from sowplan.growth.germination import emergence_rate
from sowplan.growth.needs import Needs
from sowplan.growth.response import day_response, light_response
from sowplan.records.crop import Crop

# Days over which sowing-depth soil evens out a warm or cold spell of the air.
_SOIL_MEMORY_DAYS = 5
# Share of a bulb's development that is leaf; only then, and only once days are long, does the
# bulb begin, which goes on to its end. From memory: an onion bulbs in the last third or so of
# its time in the ground.
_LEAF_SHARE = 0.65
# Planted late it has less leaf when days are about to be too short for it, and makes a smaller
# bulb, in the measure of its leaves: bulbs begin in long days once a least of warmth is had, and
# their size goes by the leaves they begin with (Lancaster et al. 1996, Annals of Botany 78:423).
# The least is from memory: below it a bulb is hardly larger than a set.
_LEAST_LEAF_SHARE = 0.25
# From here on a bulb is as large as any: the model is no finer. Common practice, no source.
_FULL_SIZE = 0.95
# Onions do not wait for the last of their leaves either: the longer the day beyond the shortest
# that makes them bulb, the sooner they begin, at full speed in days two hours longer; four days of
# growth at that speed, and the bulb has begun. One that has less than a tenth of its growth behind
# it then stays small in that measure. The three figures are chosen so that what is printed of usual
# and of late plantings comes out, from 30° to 52° of latitude (`tests/published`).
_FULL_SPEED_H, _BEGUN_DAYS, _LEAFY_SHARE = 2.0, 4.0, 0.094
# Shares of development: of the seedling, which does not feel the cold of winter that a crop may
# need, and of what is left to do once it has had it, while it heads or shoots. From memory.
_BLIND_SHARE, _AFTER_CHILL = 0.2, 0.2
# Daily means [°C] at which cold counts in full and not at all. From memory; for bulbs, common
# advice: garlic never colder than 18 °C forms no bulb, and eight to ten weeks of nights below 12 °C
# after days of up to 22 °C are winter enough.
_CHILL_FULL_C, _CHILL_NONE_C, _BULB_CHILL_NONE_C = 8.0, 13.0, 18.0

# A bulb that needs cold has all it can use after this many times its least, had at the latest so
# many days after days have become long: garlic set in spring without two months of 0 to 10 °C makes
# small bulbs, set later none (University of Minnesota Extension, told in wctrib.com and
# thatsdays.com); 20 days at 4 °C were the best in China (Wu et al. 2015), 40 and 42 in Brazil
# (Resende 2011) and Trinidad (Bridgemohan and Debisingh 2017), all by a seedsman's account, who
# advises eight weeks. How long cold still tells is from memory.
_FULL_COLD_TIMES, _COLD_TELLS_DAYS = 3.0, 30

# Soil colder than this [°C] in the likely weather is frozen: nothing is sown into it, and what lies
# in it shows at the thaw. Common practice, no source.
FROZEN_C = 0.0

_YEAR_DAYS = 365
EARLY, LIKELY, LATE = 0.10, 0.50, 0.90


@dataclass(frozen=True, eq=False)
class Events:
    """Days of each event by sowing day, shape (days,); ``days`` stands for never.

    ``fit_out`` is when a raised plant is big enough to be planted out, which may wait for the
    weather. ``begins`` is when what is harvested begins to form: of bulbs; of others, planting out.
    ``long_until`` is the last of the first long days a bulb crop meets in the place, ``days`` for
    others. ``cold_wait`` is how many days later the crop is for want of winter cold;
    ``cold_here``: whether a year of the place has all the cold the crop needs; ``cold_had`` is how
    many times the cold a bulb needs at the least it has had when days are long, 1 for other crops.
    ``size`` is how heavy it grows against its usual weight: less than 1 of bulbs planted late, or
    with less cold than they could use, and of leaf cut young.
    ``field`` is the clock of development in the place, in the mean of all weathers.
    """

    emergence: Index
    fit_out: Index
    planting_out: Index
    harvest_early: Index
    harvest: Index
    harvest_late: Index
    begins: Index
    long_until: Index
    cold_wait: Index
    size: NDArray[np.float64]
    cold_here: bool
    cold_had: NDArray[np.float64]
    field: NDArray[np.float64]


def development(crop: Crop, weather: Weather, departure: NDArray[np.float64]) -> NDArray:
    """Return the daily development rate [1/day at its fastest], of the departures' shape."""
    warmth = day_response(
        weather.tmin + departure,
        weather.tmax + departure,
        crop.base_c,
        crop.optimum_c,
        crop.ceiling_c,
    )
    return warmth * light_response(weather.dli, crop.light_half_mol)


def chill(tmean: NDArray[np.float64], bulb: bool) -> NDArray[np.float64]:
    """Return the share of a day of winter cold [d] that a day of this mean temperature [°C] is."""
    none = _BULB_CHILL_NONE_C if bulb else _CHILL_NONE_C
    return np.clip((none - tmean) / (none - _CHILL_FULL_C), 0.0, 1.0)


def soil_departure(air: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the soil's departures from its normal course, the air's evened over some days [K]."""
    sums = clock(air)
    days = air.shape[-1]
    until = np.arange(1, days + 1)
    since = np.maximum(until - _SOIL_MEMORY_DAYS, 0)
    return (sums[..., until] - sums[..., since]) / (until - since)


@dataclass(frozen=True, eq=False)
class _Clocks:
    """The clocks of one crop in all weathers; those that no departure touches have one row."""

    seed: NDArray[np.float64]
    tray: NDArray[np.float64] | None  # None where it is sown direct
    field: NDArray[np.float64]
    cold: NDArray[np.float64] | None  # None where it needs no winter; shape (days + 1,)
    bulbs_from: Index | None  # first day from each on that is long enough for a bulb
    bulbs_until: Index | None  # last day from each on before they are too short again
    thaw: Index  # first day from each on that seed may come up

    def of(self, weather: int) -> _Clocks:
        """Return the clocks of one weather."""

        def row(readings: NDArray[np.float64]) -> NDArray[np.float64]:
            return readings[min(weather, len(readings) - 1)]

        tray = None if self.tray is None else row(self.tray)
        return replace(self, seed=row(self.seed), tray=tray, field=row(self.field))


def run(
    crop: Crop,
    needs: Needs,
    place: Weather,
    nursery: Weather | None,
    comes_up_in_open: bool,
    departures: NDArray[np.float64],
    rates: NDArray[np.float64],
    out_from: Index,
    daylength: NDArray[np.float64],
) -> Events:
    """Run every day's sowing through every weather.

    Parameters
    ----------
    crop : Crop
    needs : Needs
        Amounts of development from event to event.
    place, nursery : Weather
        The weather where the crop grows on and where it is raised; None where it is sown direct.
    comes_up_in_open : bool
        Whether the seedlings feel the departures of the air, in the nursery or where it grows on.
    departures : ndarray, shape (weathers, days)
        Departures of the air's temperature [K].
    rates : ndarray, shape (weathers, days) or (1, days)
        Rates of `development` where it grows on; one row where it feels no departures.
    out_from : ndarray of int, shape (days + 1,)
        First day from each on that a seedling may be planted out.
    daylength : ndarray, shape (days,)
        Sunrise to sunset, or of lamps [h].

    Returns
    -------
    Events
        Dates by rank among the weathers.
    """
    weathers, days = departures.shape
    felt = departures if comes_up_in_open else np.zeros((1, days))
    bulbs = crop.bolt_effect == "bulbs" and crop.bolt_daylength_h is not None
    long = daylength > crop.bolt_daylength_h if bulbs else None
    clocks = _clocks(crop, place, nursery, felt, rates, long)
    found = np.empty((6, weathers, days), dtype=np.int64)
    for w in range(weathers):
        found[:, w] = _one_weather(crop, needs, clocks.of(w), out_from)
    found.sort(axis=1)
    emergence, fit_out, planting_out = (ranked(found[k], LIKELY) for k in range(3))
    mean_field = clock(rates.mean(axis=0))
    begins = ranked(found[5], LIKELY)
    long_until, size, cold_had = np.full(days, days), np.ones(days), np.ones(days)
    if bulbs:
        long_until, size, cold_had = _bulbs(
            crop, needs, clocks, mean_field, daylength, planting_out, begins
        )
    return Events(
        emergence=emergence,
        fit_out=fit_out,
        planting_out=planting_out,
        harvest_early=np.maximum(ranked(found[3], EARLY), planting_out),
        harvest=ranked(found[3], LIKELY),
        harvest_late=ranked(found[3], LATE),
        begins=begins,
        long_until=long_until,
        cold_wait=ranked(found[4], LIKELY),
        size=size,
        cold_here=clocks.cold is None
        or bool(clocks.cold[-1] * min(_YEAR_DAYS / days, 1.0) >= (crop.chill_days or 0.0)),
        cold_had=cold_had,
        field=mean_field,
    )


def _clocks(
    crop: Crop,
    place: Weather,
    nursery: Weather | None,
    felt: NDArray[np.float64],
    rates: NDArray[np.float64],
    long: NDArray[np.bool_] | None,
) -> _Clocks:
    """Return the clocks of a crop; ``felt`` are the departures where it comes up.

    ``rates`` are those of development where it grows on; ``long``: on which days its bulbs form.
    """
    seedbed = place if nursery is None else nursery
    return _Clocks(
        seed=clock(emergence_rate(crop, seedbed.soil + soil_departure(felt))),
        tray=None if nursery is None else clock(development(crop, nursery, felt)),
        field=clock(rates),
        cold=None if crop.chill_days is None else clock(chill(place.tmean, long is not None)),
        bulbs_from=None if long is None else next_true(long),
        bulbs_until=None if long is None else _last_before(next_true(~long)),
        thaw=next_true(seedbed.soil >= FROZEN_C),
    )


def _bulbs(
    crop: Crop,
    needs: Needs,
    clocks: _Clocks,
    field: NDArray[np.float64],
    daylength: NDArray[np.float64],
    planting_out: Index,
    begins: Index,
) -> tuple[Index, NDArray[np.float64], NDArray[np.float64]]:
    """Return the last of the long days each sowing's bulb meets, its size, and the cold it had."""
    assert clocks.bulbs_from is not None and clocks.bulbs_until is not None
    long_until = clocks.bulbs_until[clocks.bulbs_from[planting_out]]
    leaf = field[begins] - field[planting_out]
    size = np.minimum(leaf / (_FULL_SIZE * _LEAF_SHARE * needs.field), 1.0)
    if clocks.cold is not None:
        long = daylength > crop.bolt_daylength_h
        cold_had = _cold_had(clocks.cold, long, begins) / crop.chill_days
        return long_until, size * np.minimum(cold_had / _FULL_COLD_TIMES, 1.0), cold_had
    leaf = _leaf_when_begun(crop, needs, field, daylength, planting_out)
    size = np.minimum(size, leaf / (_LEAFY_SHARE * needs.field))
    return long_until, size, np.ones(len(daylength))


def _leaf_when_begun(
    crop: Crop,
    needs: Needs,
    field: NDArray[np.float64],
    daylength: NDArray[np.float64],
    planting_out: Index,
) -> NDArray[np.float64]:
    """Return how far each sowing has grown when long days have made its bulb begin."""
    urge = np.clip((daylength - (crop.bolt_daylength_h or 0.0)) / _FULL_SPEED_H, 0.0, 1.0)
    begun = moment(clock(urge * np.diff(field)), planting_out, _BEGUN_DAYS * needs.field_rate)
    return np.interp(begun, np.arange(len(field)), field) - field[planting_out]


def _cold_had(
    cold: NDArray[np.float64], long: NDArray[np.bool_], begins: Index
) -> NDArray[np.float64]:
    """Return the cold [d] each sowing has had soon after the long days in which its bulb begins."""
    days = len(long)
    last_short = np.maximum.accumulate(np.where(long, -1, np.arange(days)))
    since = np.append(last_short, days - 1)[begins] + 1  # the first of those long days
    tells_until = np.minimum(since + _COLD_TELLS_DAYS, begins)
    return np.maximum(cold[tells_until] - cold[:days], 0.0)


def _last_before(first: Index) -> Index:
    """Return the day before each; one past the last day looked at stays what it is."""
    return np.where(first < len(first) - 1, first - 1, first)


def _one_weather(
    crop: Crop, needs: Needs, clocks: _Clocks, out_from: Index
) -> tuple[Index, Index, Index, Index, Index, Index]:
    """Return emergence, fit to plant out, planting out and first harvest of every day's sowing.

    And how many days later it is for want of winter cold than it could have been, and the day on
    which what is harvested begins to form: of bulbs; of others, that of planting out.
    """
    sown = np.arange(len(clocks.field) - 1)
    came = reach(clocks.seed, sown, needs.seed)
    fit = out = up = clocks.thaw[came] if needs.seed else came
    if clocks.tray is not None:
        fit = reach(clocks.tray, up, needs.tray)
        out = out_from[fit]
    if clocks.bulbs_from is not None:
        grown, young = (
            reach(clocks.field, out, needs.field * share)
            for share in (_LEAF_SHARE, _LEAST_LEAF_SHARE)
        )
        cold = sown
        if clocks.cold is not None:  # a clove or bulb feels the cold from the day it is set
            cold = reach(clocks.cold, sown, crop.chill_days)
        begins, begun = (
            np.minimum(
                clocks.bulbs_from[np.maximum(grown, winter)],
                clocks.bulbs_until[clocks.bulbs_from[np.maximum(young, winter)]],
            )
            for winter in (cold, sown)
        )
        ready = reach(clocks.field, begins, needs.field * (1.0 - _LEAF_SHARE))
        return up, fit, out, ready, begins - begun, begins
    ready = grown = reach(clocks.field, out, needs.field)
    if clocks.cold is not None:
        feels = reach(clocks.field, out, needs.field * _BLIND_SHARE)
        chilled = reach(clocks.cold, feels, crop.chill_days)
        ready = np.maximum(ready, reach(clocks.field, chilled, needs.field * _AFTER_CHILL))
    return up, fit, out, ready, ready - grown, out
