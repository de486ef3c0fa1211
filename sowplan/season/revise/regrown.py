"""Growth anew from the real day of sowing or planting out, for what stands."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from sowplan.bed.slots import holes_per_plant
from sowplan.growth.conditions import bought_for, conditions_of
from sowplan.growth.courses import Conditions, CourseTable
from sowplan.growth.evolve import Seen, evolve
from sowplan.growth.harvests import Absence
from sowplan.records.crop import Crop
from sowplan.records.garden import Bed, Channel, Garden
from sowplan.season.choices.book import Place
from sowplan.season.choices.candidates import TAIL_DAYS
from sowplan.season.choices.options import (
    LEAST_HARVEST_DAYS,
    brought_in,
    last_there,
    lots_of,
    overgrown_days,
)
from sowplan.season.choices.spaces import pot_takes, rows_of_strip, stands_open, strip_in
from sowplan.season.days import absence_of, planting_days
from sowplan.season.onward import stands_on
from sowplan.season.plan import PlanLot, PlanSite, Planting
from sowplan.site.sky import sky

OLD_ENOUGH = 0.8
"""Share of its days from coming up to planting out after which a seedling may be set out: so old,
it counts as planted on the plan's day where the diary is silent (common practice, no source)."""


class Regrown:
    """What becomes of plantings sown or planted out on other days than planned.

    Used as a function: see `sowplan.season.revise.stood.Regrow`. Of what was to be done or had
    before today the plan's own day holds, where it can be.
    """

    def __init__(
        self,
        garden: Garden,
        crops: dict[str, Crop],
        today: date,
        safety: float,
        so_far: PlanSite | None = None,  # whose days it has been kept by until today
    ):
        self.garden = garden
        self.so_far = garden.season if so_far is None else so_far
        self.crops = crops
        self.today = today
        self.safety = safety
        self.places = {p.name: p for p in garden.places}
        self.trays = {tray.name: tray for tray in garden.trays}
        self._skies: dict[date, object] = {}

    def __call__(
        self, p: Planting, sown: date, planted: date | None
    ) -> tuple[Planting | None, str]:
        """Return the planting as it will now grow; or None and why nothing comes of it.

        What is bought begins on the day it is planted out.
        """
        if p.bought:
            sown = planted or sown
        place = self.places.get(p.place)
        if place is None:
            if planted is None and p.planting_out:  # in its tray still: it may go elsewhere
                out = max(p.planting_out, self.today)
                return replace(p, sow=out if p.bought else sown, planting_out=out), ""
            return None, f"{p.place} is no more"
        crop = self.crops[p.crop]
        start = sown.replace(day=1)
        outlook = self._sky(start)
        absence = self._absence(start, len(outlook.series))
        table = self._growth(p, crop, place, sown, planted, absence)
        if not table.feasible[0]:
            return None, table.reason[0]
        course = table.course(0)
        mine = self._harvests(crop, table, start, absence)
        mine = self._as_had(p, mine, course.harvest_start - course.harvest_start_early)
        if not mine:
            late = (table.lot_ready[0] >= 0).any()
            lost = "in a late year nothing would come of it"
            return None, lost if late else "nobody is there when it is fit"
        clear = self._clear(p, crop, place, mine, outlook, start, table)
        lots = tuple(
            PlanLot(a, b, round(s * self._yield(p), 9))
            for a, b, s in _until(clear, mine, start, absence)
        )
        if not lots:
            return None, "it has to go before it is ready"
        first = min(lot.ready for lot in lots)
        return (
            replace(
                p,
                sow=sown,
                emergence=course.emergence or p.emergence,
                planting_out=course.planting_out if p.planting_out else None,
                harvest_start=first,
                harvest_start_early=min(course.harvest_start_early, course.harvest_start, first),
                harvest_start_late=max(course.harvest_start_late, first),
                harvest_end=max(lot.last for lot in lots),
                cleared=clear,
                lots=lots,
                stands_on=self._stands_on(p, crop, place, mine, clear, outlook),
                overgrown=tuple(
                    start + timedelta(days=day)
                    for day in overgrown_days(table, 0, (clear - start).days)
                ),
            ),
            "",
        )

    def _growth(
        self,
        p: Planting,
        crop: Crop,
        place: Place,
        sown: date,
        planted: date | None,
        absence: Absence | None,
    ) -> CourseTable:
        """Return how a planting grows, days counted from the first of the month it is sown in."""
        start = sown.replace(day=1)
        outlook, conditions = self._sky(start), self._conditions(p, crop, place)
        if planted is None:
            planted = self._out_by_plan(p, crop, sown, start, outlook, conditions)
        seen = Seen((self.today - start).days, None if planted is None else (planted - start).days)

        def grown(out_days: NDArray[np.bool_] | None) -> CourseTable:
            return evolve(
                crop, outlook, [(sown - start).days], conditions, self.garden.climate.frost_risk,
                out_days, seen, absence,
            )  # fmt: skip

        open_ = planting_days(self.garden.season, start, len(outlook.series))
        if planted is None and p.planting_out is not None and (sown, p.bought) == (p.sow, False):
            # On its own day, whatever other days there are now, where somebody is there then; else
            # later, as its ground may be taken until then.
            days, out = np.arange(len(outlook.series)), (p.planting_out - start).days
            for since in (days == out, days > out):
                table = grown(since if open_ is None else since & open_)
                if table.feasible[0]:
                    return table
        return grown(open_)

    def _conditions(self, p: Planting, crop: Crop, place: Place) -> Conditions:
        """Return where a planting is raised and grows on."""
        if p.bought:
            return bought_for(place, self.garden.site)
        return conditions_of(crop, place, self.trays.get(p.tray or ""), self.garden.site)

    def _out_by_plan(self, p: Planting, crop: Crop, sown: date, start, outlook, conditions):
        """Return the plan's day of planting out, where that is past and it was fit for it by then.

        None where it is still to be planted out, or was too young on that day.
        """
        if p.planting_out is None or p.planting_out >= self.today:
            return None
        if sown <= p.sow:
            return p.planting_out
        risk = self.garden.climate.frost_risk
        table = evolve(crop, outlook, [(sown - start).days], conditions, risk)
        up, fit = int(table.emergence[0]), int(table.planting_out[0])
        age = (p.planting_out - start).days - up
        return p.planting_out if up >= 0 and 0 < OLD_ENOUGH * (fit - up) <= age else None

    def _as_had(self, p: Planting, lots: list, early: timedelta) -> list:
        """Return the harvests with those before today on the plan's days, where they can have been.

        They can, where a year as early as one in ten has them by then: ``early`` before the likely
        day. After the first that cannot, all come as they now grow.
        """
        had = []
        for was, (ready, last, share) in zip(p.lots, lots, strict=False):
            if was.ready >= self.today or was.ready < ready - early:
                break
            until = was.last if was.last < self.today else max(last, was.ready)
            had.append((was.ready, until, share))
        return [*had, *lots[len(had) :]]

    def _absence(self, start: date, days: int) -> Absence | None:
        """Return when nothing is brought in: until today as it was, then as the file now has it."""
        was, now = (absence_of(of, start, days) for of in (self.so_far, self.garden.season))
        if was is None and now is None:
            return None
        never = Absence(np.zeros(days, bool), np.zeros(days, bool))
        past = np.arange(days) < (self.today - start).days
        both = zip(was or never, now or never, strict=True)
        return Absence(*(np.where(past, before, after) for before, after in both))

    def _harvests(self, crop: Crop, table: CourseTable, start: date, absence: Absence | None):
        """Return first and last day and share of each harvest somebody is there for."""
        rows = zip(*(column[0] for column in lots_of(table, self.safety)), strict=True)
        lots = [(int(a), int(b), float(share)) for a, b, share in rows if a >= 0]
        if absence is not None:
            lots = brought_in(crop, lots, absence.off)
        day = timedelta(days=1)
        return [(start + a * day, start + b * day, share) for a, b, share in lots]

    def _sky(self, start: date):
        if start not in self._skies:
            days = (self.garden.season.end - start).days + 1 + TAIL_DAYS
            self._skies[start] = sky(self.garden.site, self.garden.climate, start, days)
        return self._skies[start]

    def _yield(self, p: Planting) -> float:
        return p.plants * self.crops[p.crop].units_per_plant

    def _clear(self, p: Planting, crop: Crop, place, lots, outlook, start, table) -> date:
        """Return when it is cleared: on the plan's day, later where it would hardly be ready.

        A tender crop in the open goes before any frost.
        """
        natural = max(b for _, b, _ in lots) + timedelta(days=1)
        first = min(a for a, _, _ in lots)
        clear = min(natural, max(p.cleared, first + timedelta(days=LEAST_HARVEST_DAYS)))
        if crop.tender and stands_open(place):
            risk = self.garden.climate.frost_risk
            frosty = np.nonzero(~outlook.frost.safe(max(0.0, crop.killing_frost_c), risk))[0]
            outside = table.planting_out[0] if p.planting_out else table.emergence[0]
            since = max(int(outside), (self.today - start).days)
            after = np.searchsorted(frosty, since)
            if after < len(frosty):
                clear = min(clear, start + timedelta(days=int(frosty[after])))
        return clear

    def _stands_on(self, p: Planting, crop: Crop, place: Place, lots, clear: date, outlook) -> bool:
        """Return whether it goes on giving after the season; the gardener's own as it was."""
        if p.fixed and not p.stands_on:
            return False
        season, risk = self.garden.season, self.garden.climate.frost_risk
        ready = [a for a, _, _ in lots]
        return stands_on(crop, stands_open(place), ready, clear, season, outlook, risk)

    def fewer(self, p: Planting, left: int) -> Planting:
        """Return a planting, not yet planted out, on as much of its ground as fewer plants take."""
        place, crop = self.places.get(p.place), self.crops[p.crop]
        if place is None:
            return p
        if isinstance(place, Bed):
            strip = strip_in(place, crop, left)
            # Of rows across longer than what it has, it stays as it was; rehoused, it has none yet.
            longer = 0 < p.strip_length_m < strip.length_m - 1e-9
            return p if longer else replace(p, **rows_of_strip(strip))
        if isinstance(place, Channel):
            many = left * holes_per_plant(place.spacing_m, crop.spacing_cm / 100)
        else:
            many = -(-left // max(pot_takes(crop, place), 1))
        return replace(p, slots=p.slots[:many])


def _until(clear: date, lots, start: date, absence: Absence | None):
    """Return the lots that come before it is cleared, each until the last day it is had."""
    day = timedelta(days=1)
    found = [(a, min(b, clear - day), s) for a, b, s in lots if a < clear]
    if absence is None:
        return found
    there = last_there(absence.off)
    return [(a, max(a, start + there[(b - start).days] * day), s) for a, b, s in found]
