"""Frost: how likely a minimum at or below a threshold still comes, or has come already.

The year is cut at midwinter and midsummer into a warming and a cooling half: January to
July and August to December where January is the cold side of the year, July to January
and February to June where July is. That is how freeze tables count. Within a half the
chance only falls (spring) or only rises (autumn), so a date at a risk is a crossing.

Where the year hardly swings there is no winter to cut at and no summer that ends it: dates
would be those of the cut, not of the frost. There a day is judged by the chance of frost
over the weeks in which a crop stands around it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from sowplan.site.normals import LEAP_DAY, leap_places

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

# Places in a year of 366 days: 1 July and 1 August.
_JULY, _AUGUST, _FEBRUARY = 182, 213, 31
_YEAR = 366
_SLIGHT_SWING = 6.0  # [K] between the coldest and the warmest day's minimum: our choice
# Days for which a crop stands in the open, where no season bounds it: our choice, some twelve
# weeks from planting out to the last of a harvest.
STAND_DAYS = 85

NEVER = 0.001
"""A chance of frost in half a year that is none."""

MonthDay = tuple[int, int]
# Chances of a threshold's frost: (still to come, by place in the warming half;
# come already, by place in the cooling half).
Halves = tuple[Floats, Floats]


@dataclass(frozen=True)
class Calendar:
    """The places in a year of 366 days of the warming and of the cooling half, in order."""

    spring: tuple[int, ...]
    autumn: tuple[int, ...]

    @classmethod
    def of(
        cls,
        tmin_year: Floats,
        last_frost: MonthDay | None = None,
        first_frost: MonthDay | None = None,
    ) -> Calendar:
        """Choose by which of January and July is the colder side of the year.

        Where the year hardly swings, as in the highlands of the tropics, the gardener's own
        frost dates decide.
        """
        winter = tmin_year[np.r_[335:366, 0:60]].mean()
        chosen = NORTHERN if winter <= tmin_year[152:244].mean() else SOUTHERN
        other = SOUTHERN if chosen is NORTHERN else NORTHERN
        given = (last_frost or first_frost) is not None
        if given and np.ptp(tmin_year) < _SLIGHT_SWING and other.takes(last_frost, first_frost):
            return other
        return chosen

    def takes(self, last_frost: MonthDay | None, first_frost: MonthDay | None) -> bool:
        """Tell whether the dates lie in the halves of the year they belong to."""
        last = last_frost is None or place_of(*last_frost) in self.spring
        return last and (first_frost is None or place_of(*first_frost) in self.autumn)

    def words_on(self, last_frost: MonthDay | None, first_frost: MonthDay | None) -> list[str]:
        """Say of the gardener's dates which are used, and which lie in the wrong season."""
        words = []
        for name, date_, half, season in (
            ("last_frost", last_frost, self.spring, "spring"),
            ("first_frost", first_frost, self.autumn, "autumn"),
        ):
            if date_ is None:
                continue
            used = place_of(*date_) in half
            written = f"{name} {date_[0]:02d}-{date_[1]:02d}"
            words.append(
                f"your {written}" + ("" if used else f" is not in {season} here: not used")
            )
        return words


def without_seasons(tmin_year: Floats, *own: MonthDay | None) -> bool:
    """Tell whether a year has no cold season: it hardly swings, and no dates are given."""
    return not any(own) and float(np.ptp(tmin_year)) < _SLIGHT_SWING


NORTHERN = Calendar(tuple(range(_AUGUST)), tuple(range(_AUGUST, _YEAR)))
SOUTHERN = Calendar((*range(_JULY, _YEAR), *range(_FEBRUARY)), tuple(range(_FEBRUARY, _JULY)))


@dataclass(frozen=True, eq=False)
class FrostOutlook:
    """What is known of frost here, asked by threshold and risk.

    ``halves`` gives the chances for a threshold, ``weekly`` the chance of such a minimum in
    the week around each day of a 366-day year. ``standing``, where there is no cold season,
    gives it for the ``STAND_DAYS`` around each day.
    """

    start: date
    days: int
    calendar: Calendar
    halves: Callable[[float], Halves]
    weekly: Callable[[float], Floats]
    source: str
    standing: Callable[[float], Floats] | None = None
    _known: dict[float, Floats] = field(default_factory=dict, init=False, repr=False)

    def safe(self, threshold_c: float, risk: float) -> Bools:
        """Tell on which days a plant killed at a threshold may stand in the open.

        Parameters
        ----------
        threshold_c : float
            Killing minimum [°C].
        risk : float
            Accepted share of years, 0 to 1.

        Returns
        -------
        array of bool
            Shape (days,). In the warming half of the year: the chance that such a minimum
            comes on that day or later, before midsummer, is at most ``risk``; in the
            cooling half: the chance that it has come, that day included, is. Without a
            cold season: the chance over the twelve weeks around the day is, or that over
            the whole year.
        """
        return self._year_risk(threshold_c)[leap_places(self.start, self.days)] <= risk

    def chance(self, threshold_c: float) -> Floats:
        """Return the chance of such a minimum in the seven days around each day, (days,)."""
        return self.weekly(threshold_c)[leap_places(self.start, self.days)]

    def dates(
        self, start: date, risk: float, threshold_c: float = 0.0
    ) -> tuple[date | None, date | None, str]:
        """Return the last frost of spring and the first of autumn at a risk.

        Parameters
        ----------
        start : date
            The season's first day; each date is the first such day from there on.
        risk : float
            Share of years in which frost comes later still (spring), or has come by then
            (autumn).
        threshold_c : float
            Minimum that counts as frost [°C].

        Returns
        -------
        last_frost, first_frost : date or None
            None where no frost is expected at that risk, or none can be told from summer.
        note : str
            Where the dates come from, or why there are none.
        """
        if self.standing is not None:
            return None, None, f"{self._seasonless(risk, threshold_c)}; {self.source}"
        still, already = self.halves(threshold_c)
        if still[-1] > risk or already[0] > risk:
            return None, None, f"frost may come at any time of the year; {self.source}"
        last, first = np.flatnonzero(still > risk), np.flatnonzero(already > risk)
        spring = self._day(start, self.calendar.spring[last[-1]]) if len(last) else None
        autumn = self._day(start, self.calendar.autumn[first[0]]) if len(first) else None
        if spring is None and autumn is None:
            return None, None, f"no frost expected at this risk; {self.source}"
        return spring, autumn, self.source

    def _seasonless(self, risk: float, threshold_c: float) -> str:
        """Say what there is instead of dates where the year has no cold season."""
        assert self.standing is not None
        if self._any(threshold_c) <= risk:
            return "no frost expected at this risk"
        stand = self.standing(threshold_c)
        least, most = (f"{100 * share:.0f}" for share in (stand.min(), stand.max()))
        span = f"{most} years" if least == most else f"{least} to {most} years"
        words = (
            "no cold season, so no frost dates: a crop that stands twelve weeks meets a frost "
            f"in {span} of 100"
        )
        if stand.min() > risk:
            return f"{words}, more than your risk at any time of the year"
        return words if stand.max() <= risk else f"{words}, by the time of year"

    def _any(self, threshold_c: float) -> float:
        """Return the chance of such a minimum in a year."""
        still, already = self.halves(threshold_c)
        return float(1 - (1 - still[0]) * (1 - already[-1]))

    def _year_risk(self, threshold_c: float) -> Floats:
        """Return the chance by which `safe` judges, of each day of a year; worked out once."""
        if threshold_c not in self._known:
            self._known[threshold_c] = self._reckon_risk(threshold_c)
        return self._known[threshold_c]

    def _reckon_risk(self, threshold_c: float) -> Floats:
        if self.standing is not None:
            return np.minimum(self.standing(threshold_c), self._any(threshold_c))
        still, already = self.halves(threshold_c)
        year = np.empty(_YEAR)
        year[list(self.calendar.spring)] = still
        year[list(self.calendar.autumn)] = already
        return year

    @staticmethod
    def _day(start: date, place: int) -> date:
        """Return the first day from ``start`` on with a place in a 366-day year."""
        model = date(2000, 1, 1) + timedelta(days=int(place))
        if place == LEAP_DAY:
            model = date(2000, 2, 28)
        day = model.replace(year=start.year)
        return day if day >= start else model.replace(year=start.year + 1)


def place_of(month: int, day: int) -> int:
    """Return the place of a calendar day in a year of 366 days."""
    return (date(2000, month, day) - date(2000, 1, 1)).days


def agreeing(
    halves: Callable[[float], Halves],
    weekly: Callable[[float], Floats],
    calendar: Calendar,
    last_frost: MonthDay | None,
    first_frost: MonthDay | None,
    risk: float,
) -> tuple[Callable[[float], Halves], Callable[[float], Floats]]:
    """Bend the chances so that 0 °C at a risk falls on the gardener's own dates.

    The half-year is made warmer or colder by as many kelvins as bring the estimated date
    next to the one given (a garden in a frost hollow differs from its station like that),
    and what is left of a record's coarseness is moved in days.
    """
    own = [
        None if d is None else list(places).index(p) if (p := place_of(*d)) in places else None
        for d, places in ((last_frost, calendar.spring), (first_frost, calendar.autumn))
    ]
    if own == [None, None]:
        return halves, weekly
    bends = [
        (0.0, 0) if at is None else _bend(halves, side, at, risk) for side, at in enumerate(own)
    ]

    def bent(threshold_c: float) -> Halves:
        spring, autumn = (
            _shifted(halves(threshold_c - kelvins)[side], shift)
            for side, (kelvins, shift) in enumerate(bends)
        )
        return spring, autumn

    def bent_weekly(threshold_c: float) -> Floats:
        year = np.empty(_YEAR)
        for (kelvins, _), places in zip(bends, (calendar.spring, calendar.autumn), strict=True):
            year[list(places)] = weekly(threshold_c - kelvins)[list(places)]
        return year

    return bent, bent_weekly


def without_frost(
    halves: Callable[[float], Halves], weekly: Callable[[float], Floats]
) -> tuple[Callable[[float], Halves], Callable[[float], Floats]]:
    """Make the nights as much warmer as it takes for a garden that never sees a frost.

    Such a garden lies above the cold air, by water or among walls; nights that would be cold for
    tender plants short of frost are warmer by as many kelvins.
    """

    def ever(kelvins: float) -> float:
        still, already = halves(-kelvins)
        return float(max(still[0], already[-1]))

    low, high = 0.0, 60.0
    for _ in range(24):
        middle = (low + high) / 2
        low, high = (middle, high) if ever(middle) > NEVER else (low, middle)
    kelvins = 0.0 if ever(0.0) <= NEVER else high
    return (lambda t: halves(t - kelvins)), (lambda t: weekly(t - kelvins))


def _bend(
    halves: Callable[[float], Halves], side: int, wanted: int, risk: float
) -> tuple[float, int]:
    """Return by how many kelvins, then days, one half-year must be moved."""

    def found(kelvins: float) -> int:
        over = np.flatnonzero(halves(-kelvins)[side] > risk)
        if side == 0:  # warmer: the last frost comes earlier
            return int(over[-1]) if len(over) else -1
        return int(over[0]) if len(over) else 10_000

    low, high = -40.0, 60.0  # coldest and warmest that the half-year is made
    for _ in range(24):
        middle = (low + high) / 2
        late = found(middle) > wanted if side == 0 else found(middle) < wanted
        low, high = (middle, high) if late else (low, middle)
    at = found(high)
    reached = 0 <= at < 10_000
    return high, (wanted - at) if reached else 0


def _shifted(chances: Floats, days: int) -> Floats:
    """Move chances by whole days within their half-year."""
    at = np.clip(np.arange(len(chances)) - days, 0, len(chances) - 1)
    return chances[at]
