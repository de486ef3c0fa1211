"""Growth anew from the real day of sowing or planting out, for what stands."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np

from sowplan.bed.slots import holes_per_plant, plants_per_pot
from sowplan.growth.conditions import bought_for, conditions_of
from sowplan.growth.courses import Conditions, CourseTable
from sowplan.growth.evolve import Seen, evolve
from sowplan.records.crop import Crop
from sowplan.records.garden import Bed, Channel, Garden
from sowplan.season.book import Place
from sowplan.season.candidates import TAIL_DAYS
from sowplan.season.days import absence_of, days_off, planting_days
from sowplan.season.options import LEAST_HARVEST_DAYS, brought_in, lots_of, overgrown_days
from sowplan.season.plan import PlanLot, Planting
from sowplan.season.spaces import rows_of_strip, strip_in
from sowplan.site.sky import sky


class Regrown:
    """What becomes of plantings sown or planted out on other days than planned.

    Used as a function: see `sowplan.season.revise.stood.Regrow`.
    """

    def __init__(self, garden: Garden, crops: dict[str, Crop], today: date, safety: float):
        self.garden = garden
        self.crops = crops
        self.today = today
        self.safety = safety
        self.places = {p.name: p for p in (*garden.beds, *garden.channels, *garden.pots)}
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
                return _with(p, sow=out if p.bought else sown, planting_out=out), ""
            return None, f"{p.place} is no more"
        crop = self.crops[p.crop]
        start = sown.replace(day=1)
        outlook = self._sky(start)
        conditions = self._conditions(p, crop, place)
        out = None if planted is None else (planted - start).days
        seen = Seen((self.today - start).days, out)
        table = evolve(
            crop, outlook, [(sown - start).days], conditions, self.garden.climate.frost_risk,
            planting_days(self.garden.season, start, len(outlook.series)), seen,
            absence_of(self.garden.season, start, len(outlook.series)),
        )  # fmt: skip
        if not table.feasible[0]:
            return None, table.reason[0]
        mine = self._harvests(crop, table, start, len(outlook.series))
        if not mine:
            late = (table.lot_ready[0] >= 0).any()
            lost = "in a late year nothing would come of it"
            return None, lost if late else "nobody is there when it is fit"
        clear = self._clear(p, crop, place, mine, outlook, start, table)
        lots = tuple(
            PlanLot(a, min(b, clear - timedelta(days=1)), round(s * self._yield(p), 9))
            for a, b, s in mine
            if a < clear
        )
        if not lots:
            return None, "it has to go before it is ready"
        course = table.course(0)
        first = min(lot.ready for lot in lots)
        return (
            _with(
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
                overgrown=tuple(
                    start + timedelta(days=day)
                    for day in overgrown_days(table, 0, (clear - start).days)
                ),
            ),
            "",
        )

    def _conditions(self, p: Planting, crop: Crop, place: Place) -> Conditions:
        """Return where a planting is raised and grows on."""
        if p.bought:
            return bought_for(place, self.garden.site)
        return conditions_of(crop, place, self.trays.get(p.tray or ""), self.garden.site)

    def _harvests(self, crop: Crop, table: CourseTable, start: date, days: int):
        """Return first and last day and share of each harvest somebody is there for."""
        rows = zip(*(column[0] for column in lots_of(table, self.safety)), strict=True)
        lots = [(int(a), int(b), float(share)) for a, b, share in rows if a >= 0]
        off = days_off(self.garden.season, start, days)
        if off is not None:
            lots = brought_in(crop, lots, off)
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
        if crop.tender and place.cover == "none":
            risk = self.garden.climate.frost_risk
            frosty = np.nonzero(~outlook.frost.safe(max(0.0, crop.killing_frost_c), risk))[0]
            outside = table.planting_out[0] if p.planting_out else table.emergence[0]
            since = max(int(outside), (self.today - start).days)
            after = np.searchsorted(frosty, since)
            if after < len(frosty):
                clear = min(clear, start + timedelta(days=int(frosty[after])))
        return clear

    def fewer(self, p: Planting, left: int) -> Planting:
        """Return a planting, not yet planted out, on as much of its ground as fewer plants take."""
        place, crop = self.places.get(p.place), self.crops[p.crop]
        if place is None:
            return p
        if isinstance(place, Bed):
            return _with(p, **rows_of_strip(strip_in(place, crop, left)))
        if isinstance(place, Channel):
            many = left * holes_per_plant(place.spacing_m, crop.spacing_cm / 100)
        else:
            many = -(-left // max(plants_per_pot(place.volume_l, crop.pot_litres), 1))
        return _with(p, slots=p.slots[:many])


def _with(p: Planting, **changes) -> Planting:
    from dataclasses import replace

    return replace(p, **changes)
