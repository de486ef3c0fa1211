"""From sowings to courses: what becomes of a crop sown on any day, in given conditions.

The dates come from daily rates summed up (`events`), the harvests from the first date (`harvests`).
What can end a sowing is `hindrances`. All days of the series are worked out at once as sowing
days, and the sowings asked for are picked out of them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sowplan.growth.bolting import Bolting, bolting
from sowplan.growth.clock import Index, clock, next_true
from sowplan.growth.conditions import Weather, daylength_of, weather_in_tray, weather_of
from sowplan.growth.courses import Conditions, CourseTable
from sowplan.growth.covers import COVERS
from sowplan.growth.events import Events, development, run
from sowplan.growth.harvests import Absence, Lots, lots_from
from sowplan.growth.hindrances import Dangers, OpenAir, hindrances
from sowplan.growth.needs import Needs, needs_of
from sowplan.growth.nights import warm_days, warm_nights
from sowplan.growth.outlived import killed_before, rotten
from sowplan.growth.reasons import Why, reason
from sowplan.growth.response import ageing
from sowplan.growth.young import cut_young
from sowplan.records.crop import Crop


class Seen(NamedTuple):
    """What a grower has seen of a sowing that stands: alive on a day, planted out on a day.

    Days as positions in the series. ``planted`` is None where the sowing is direct, or still in
    its tray.
    """

    alive: int
    planted: int | None = None


def evolve(
    crop: Crop,
    sky: Any,
    sow: ArrayLike,
    conditions: Conditions,
    risk: float = 0.10,
    out_days: NDArray[np.bool_] | None = None,
    seen: Seen | None = None,
    absence: Absence | None = None,
    known: dict[Conditions, Here] | None = None,
) -> CourseTable:
    """Return what becomes of sowings of one crop in equal conditions.

    Parameters
    ----------
    crop : Crop
        The crop.
    sky : Sky
        ``series`` (DailySeries) and ``frost`` (FrostOutlook) of the site. Events after the last
        day of the series count as not coming to pass, so let it run well past the last sowing.
    sow : array_like of int, shape (sowings,)
        Sowing days as positions in the series.
    conditions : Conditions
        Where it is raised and where it grows on.
    risk : float
        Share of years in which a killing frost on a day is borne.
    out_days : ndarray of bool, shape (days of the series,), optional
        Days on which the gardener plants out; None for any day. Of what is bought the day asked
        for is the gardener's own.
    seen : Seen, optional
        Where the sowings asked for stand already. What the grower planted out was fit for it, and
        frost and bolting end only what has not outlived them; nothing else ends what is alive. What
        hardly ever lives till then is not (`growth.outlived`).
    absence : Absence, optional
        When nobody brings in what is fit; None where somebody always does.
    known : dict of Conditions to Here, optional
        What is known already of where this crop grows, under this sky and at this risk: what is
        found out is added, so that the ways to raise it for one place share it.

    Returns
    -------
    CourseTable
        Dates as positions in the series, harvests, feasibility and reasons.

    Raises
    ------
    IndexError
        If a sowing day lies outside the series.
    """
    series = sky.series
    days = len(series)
    sow = np.asarray(sow, dtype=np.int64)
    if sow.size and (sow.min() < 0 or sow.max() >= days):
        raise IndexError(f"sowing days must lie within the {days} days of the series")

    here = _here(crop, sky, conditions, risk, {} if known is None else known)
    needs = needs_of(crop, here.raised, here.bought, conditions.film)
    out_from, cold_out = _out_from(here, out_days, seen)
    events = run(
        crop,
        needs,
        here.place,
        weather_in_tray(conditions, series) if here.raised else None,
        here.comes_up_in_open,
        here.departures,
        here.rates,
        out_from,
        here.daylength,
    )
    bolts = bolting(crop, needs, here.place, here.daylength, events)
    dangers = _dangers(here, events, bolts, seen)
    events = cut_young(crop, needs, events, bolts)
    open_air = _open_air(crop, sky, here, cold_out, risk)
    soil = series.soil if here.raised else here.place.soil
    why, about, until = hindrances(crop, needs, events, dangers, here.raised, open_air, soil)
    if seen is not None:
        lost = rotten(crop, here.comes_up_in_open, events.emergence)
        deadly_c = kills_c(crop, conditions)
        killed = killed_before(crop, sky.frost, deadly_c, events.planting_out, seen.alive)
        why, about = _as_seen(events, dangers, lost, killed, why, about)
    ends = np.minimum(dangers.frost, dangers.bolting)
    lots, late = _both_harvests(crop, needs, here.place, events, ends, why, absence)
    words = _words(crop, series.start, sow, why, about, until)
    gone = np.where((dangers.bolting < days) & (dangers.bolting <= ends), dangers.bolting, -1)
    cold_fit = cold_out[events.fit_out]
    over = (ends, gone)
    return _table(
        series.start, sow, events, here.raised, cold_fit, why, words, over, lots, late.ready
    )


@dataclass(frozen=True, eq=False)
class Here:
    """How a crop is raised, and by day what it finds where it grows on, shape (days,).

    ``comes_up_in_open``: it comes up in the open air, in a tray or in its place. ``safe`` is from
    a killing frost, ``warm`` and ``nights`` are warm enough to stand out by day and by night.
    ``rates`` are those of its development, shape (weathers, days) where it feels the departures of
    the air, else (1, days).
    """

    raised: bool
    bought: bool
    comes_up_in_open: bool
    place: Weather
    daylength: NDArray[np.float64]
    departures: NDArray[np.float64]  # of the air [K], shape (weathers, days)
    rates: NDArray[np.float64]
    safe: NDArray[np.bool_]
    warm: NDArray[np.bool_]
    nights: NDArray[np.bool_]


def _here(
    crop: Crop, sky: Any, conditions: Conditions, risk: float, known: dict[Conditions, Here]
) -> Here:
    """Return how a crop is raised in some conditions, and what it finds there."""
    raised = conditions.raised and crop.tray_days is not None
    bought = raised and conditions.bought
    in_tray_outside = conditions.tray_temperature_c is None and not bought
    sown_there = replace(
        conditions, raised=False, tray_temperature_c=None, tray_dli_mol=None, bought=False
    )
    if sown_there not in known:
        known[sown_there] = _sown_there(crop, sky, sown_there, risk)
    return replace(
        known[sown_there],
        raised=raised,
        bought=bought,
        comes_up_in_open=in_tray_outside if raised else conditions.indoors_c is None,
    )


def _sown_there(crop: Crop, sky: Any, conditions: Conditions, risk: float) -> Here:
    """Return what a crop finds that is sown where it grows."""
    series, in_open = sky.series, conditions.indoors_c is None
    place = weather_of(conditions, series)
    none = np.zeros((1, len(series)))
    departures = series.scenarios if len(series.scenarios) else none
    safe, warm, nights = _where_it_grows(crop, sky, place, conditions, departures, risk)
    return Here(
        raised=False,
        bought=False,
        comes_up_in_open=in_open,
        place=place,
        daylength=daylength_of(conditions, series),
        departures=departures,
        rates=development(crop, place, departures if in_open else none),
        safe=safe,
        warm=warm,
        nights=nights,
    )


def _out_from(
    here: Here, out_days: NDArray[np.bool_] | None, seen: Seen | None
) -> tuple[Index, Index]:
    """Return the first day from each on that it may be planted out, and that were nights warm."""
    works = here.safe & here.warm
    if out_days is not None and not here.bought:
        works = works & out_days
    out_from = next_true(works & here.nights)
    if seen is not None and seen.planted is not None:
        out_from = np.full_like(out_from, seen.planted)
    return out_from, next_true(works)


def _dangers(here: Here, events: Events, bolts: Bolting, seen: Seen | None) -> Dangers:
    """Return what would end each day's sowing, but for what it has outlived."""
    alive = 0 if seen is None else seen.alive
    stands = np.maximum(events.planting_out, alive)  # emergence, where sown direct
    bolt_day = bolts.day
    if seen is not None:
        bolt_day = np.where(bolt_day < alive, len(bolt_day), bolt_day)
    return Dangers(next_true(~here.safe)[stands], bolt_day, bolts.why)


def _open_air(crop: Crop, sky: Any, here: Here, cold_out: Index, risk: float) -> OpenAir:
    """Return what a seedling finds outside: frost where it comes up, nights, and days."""
    safe_up = sky.frost.safe(crop.killing_frost_c, risk) if here.raised else here.safe
    return OpenAir(
        safe_up if here.comes_up_in_open else None,
        here.nights,
        here.warm | (crop.night_c is None),
        cold_out,
    )


def _where_it_grows(
    crop: Crop,
    sky: Any,
    place: Weather,
    conditions: Conditions,
    departures: NDArray[np.float64],
    risk: float,
) -> tuple[NDArray[np.bool_], NDArray[np.bool_], NDArray[np.bool_]]:
    """Return on which days it is safe from frost where it grows, days warm, and nights."""
    tmean = place.tmean
    if conditions.indoors_c is not None:
        nights = warm_nights(crop, place.tmin, np.zeros((1, len(tmean))))
        return np.ones(len(tmean), bool), warm_days(crop, tmean), nights
    safe = sky.frost.safe(kills_c(crop, conditions), risk)
    warm = warm_days(crop, tmean, sky.series.warmest_c)
    swing = sky.series.tmax - sky.series.tmin
    return safe, warm, warm_nights(crop, place.tmin, departures, swing)


def kills_c(crop: Crop, conditions: Conditions) -> float | None:
    """Return the minimum in the open that kills it where it grows [°C]; None indoors."""
    if conditions.indoors_c is not None:
        return None
    return crop.killing_frost_c - COVERS[conditions.cover].frost_k


def _as_seen(
    events: Events,
    dangers: Dangers,
    lost: NDArray[np.bool_],
    killed: Index,
    why: Index,
    about: Index,
) -> tuple[Index, Index]:
    """Return why nothing comes of what is said to be alive, and the day; nothing else ends it.

    ``lost`` is what cannot have come up, ``killed`` the day on which frost has surely ended it.
    """
    days = len(why)
    ended = events.harvest >= np.minimum(np.minimum(dangers.frost, dangers.bolting), days)
    dead = (killed < np.minimum(events.harvest, days)) & ~lost
    why, about = np.where(dead, Why.FROST, why), np.where(dead, killed, about)
    unnamed = np.where(why == Why.NOTHING, Why.BEYOND, why)
    return np.where(ended | lost | dead, unnamed, Why.NOTHING), about


def _both_harvests(
    crop: Crop,
    needs: Needs,
    place: Weather,
    events: Events,
    ends: Index,
    why: Index,
    absence: Absence | None,
) -> tuple[Lots, Lots]:
    """Return the harvests of the likely weather and those of a late year."""
    age = clock(ageing(place.tmean, crop.base_c, crop.maturity_temp_c))
    ends = np.where(why == Why.NOTHING, ends, 0)
    likely, late = (
        lots_from(first, ends, crop, needs, events.field, age, absence, events.size)
        for first in (events.harvest, events.harvest_late)
    )
    return likely, late


def _words(
    crop: Crop, start: date, sow: Index, why: Index, about: Index, until: Index
) -> tuple[str, ...]:
    """Say for each sowing asked for what stands in its way."""
    days = len(why)
    picked, back = np.unique(sow, return_inverse=True)
    told = zip(*(each[picked].tolist() for each in (why, about, until)), strict=True)
    words = [reason(Why(w), crop, start, a, u, days) if w else "" for w, a, u in told]
    return tuple(words[k] for k in back)


def _table(
    start: date,
    sow: Index,
    events: Events,
    raised: bool,
    cold_fit: Index,
    why: Index,
    words: tuple[str, ...],
    over: tuple[Index, Index],
    lots: Lots,
    late_ready: Index,
) -> CourseTable:
    """Pick the sowings asked for and blank what does not come to pass; ``over``: ends, bolts."""
    days, (ends, bolts) = len(why), over
    cause = why[sow]
    comes_up = (cause == Why.NOTHING) | (cause > Why.SEEDLING_FROST)
    comes_up &= events.emergence[sow] < days
    goes_out = (cause == Why.NOTHING) | (cause > Why.OUT_NIGHTS)
    goes_out &= events.planting_out[sow] < days
    feasible = cause == Why.NOTHING
    # A late year may bring no harvest at all; the first is then told as late as the crop stands.
    late_first = np.minimum(events.harvest_late, ends - 1)

    def blank(day: Index, comes: NDArray[np.bool_]) -> Index:
        return np.where(comes, np.minimum(day, days - 1), -1)

    def in_tray(day: Index) -> Index:
        return np.where((day < days) & raised, day, -1)[sow]

    return CourseTable(
        start=start,
        sow=sow,
        emergence=blank(events.emergence[sow], comes_up),
        planting_out=blank(events.planting_out[sow], goes_out & raised),
        harvest_start=blank(events.harvest[sow], feasible),
        harvest_start_early=blank(events.harvest_early[sow], feasible),
        harvest_start_late=blank(late_first[sow], feasible),
        harvest_end=lots.last[sow].max(axis=1),
        lot_ready=lots.ready[sow],
        lot_last=lots.last[sow],
        lot_share=lots.share[sow],
        late_ready=late_ready[sow],
        spoilt=lots.spoilt[sow],
        size=events.size[sow],
        bolts=np.where(feasible, bolts[sow], -1),
        large_enough=in_tray(events.fit_out),
        fit_day=in_tray(events.planting_out),
        cold_fit_day=in_tray(cold_fit),
        feasible=feasible,
        reason=words,
    )
