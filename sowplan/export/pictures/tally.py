"""What is wanted, met, missing and over, week by week: sums of the plan's own figures."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from dataclasses import dataclass
from datetime import date, timedelta

from sowplan.export.helps import usual_days
from sowplan.export.pictures.scale import weeks
from sowplan.export.pictures.spans import Span, own_weeks
from sowplan.export.pictures.words import amount, crop_names
from sowplan.season.plan import Plan, PlanCrop, Planting, WantPeriod
from sowplan.supply.picks import spare
from sowplan.supply.wording import every_text

LITTLE = 1e-6
LONG_DAYS = 35
"""A longer period, of a season say, is told from the day on which what it gets is first fit."""


@dataclass(frozen=True)
class Tally:
    """One crop in one unit; ``wanted``, ``met`` and ``over`` hold a figure for each of ``spans``.

    ``over`` is what a lot still holds on its last day, in the week of that day. The spans are the
    weeks in which the crop is wanted, which need not begin on the day the gardener's weeks do.
    ``asked_a_week`` and ``met_a_week`` are how much is wanted and comes at the usual length of the
    want's periods: a last period of five days that wants as much as seven is as high.
    """

    crop: PlanCrop
    unit: str
    asked: str  # "2 heads a week", empty where nobody asked for the crop
    spans: tuple[Span, ...]
    wanted: tuple[float, ...]
    met: tuple[float, ...]
    over: tuple[float, ...]
    asked_a_week: tuple[float, ...]
    met_a_week: tuple[float, ...]
    whys: tuple[tuple[str, date, date, float], ...]  # reason, first and last day, amount missing
    units: str = "metric"

    @property
    def missing(self) -> float:
        """All that is wanted and not met."""
        return sum(self.wanted) - sum(self.met)


def tallies(plan: Plan) -> tuple[Tally, ...]:
    """Sum wants, harvests and surplus by week.

    Parameters
    ----------
    plan : Plan
        A finished season.

    Returns
    -------
    tuple of Tally
        One a crop and unit, in the order of the garden file's wants; crops nobody asked for last.
    """
    crops = crop_names(plan)
    periods: dict[tuple[str, str], list] = defaultdict(list)
    for want in sorted(plan.wants, key=lambda w: (w.want, w.start)):
        periods[want.crop, want.unit].append(want)
    for planting in plan.plantings:
        if not any(crop == planting.crop for crop, _ in periods):
            periods[planting.crop, crops[planting.crop].harvest_unit] = []
    left = leftovers(plan)
    rows, seen = [], set()
    for (key, unit), asked in periods.items():
        spans = own_weeks(plan.site, asked)
        wanted, met, high, met_high = _by_span(plan, spans, asked)
        over = [0.0] * len(spans)
        if key not in seen:
            for day, surplus in left.get(key, ()):
                over[_number(spans, day)] += surplus / crops[key].units_in(unit)
        seen.add(key)
        rows.append(
            Tally(
                crops[key], unit, _asked(asked, plan.site.units), spans,
                wanted, met, tuple(over), high, met_high, _whys(asked), plan.site.units,
            )
        )  # fmt: skip
    return tuple(rows)


def _by_span(
    plan: Plan, spans: tuple[Span, ...], asked: list[WantPeriod]
) -> tuple[tuple[float, ...], ...]:
    """Return what is wanted and met in each span, and both as a week's amount."""
    found = [[0.0] * len(spans) for _ in range(4)]
    usual = {number: usual_days(plan, number) for number in {want.want for want in asked}}
    for want in asked:
        begins = _begins(plan, want)
        days = (want.end - begins).days + 1
        for n in range(days):
            span = _number(spans, begins + timedelta(days=n))
            a_week = 7 / usual[want.want] / spans[span].days
            for row, share in ((0, 1 / days), (2, a_week)):
                found[row][span] += share * want.wanted
                found[row + 1][span] += share * want.met
    return tuple(map(tuple, found))


def _begins(plan: Plan, want: WantPeriod) -> date:
    """Return the day from which a period is drawn: garlic lifted in December is not had in May."""
    if (want.end - want.start).days < LONG_DAYS:
        return want.start
    serving = {name for name, _ in want.served_by}
    lots = [lot for p in plan.plantings if p.id in serving for lot in p.lots]
    fit = min((lot.ready for lot in lots if lot.ready <= want.end), default=want.start)
    return max(fit, want.start)


def _number(spans: tuple[Span, ...], day: date) -> int:
    """Return which of the spans a day lies in; days outside are told to the nearest."""
    return max(bisect_right(spans, day, key=lambda span: span.first) - 1, 0)


def leftovers(plan: Plan) -> dict[str, list[tuple[date, float]]]:
    """Return by crop what no want takes: last day of the lot and amount in the harvest unit."""
    crops, left = crop_names(plan), spare(plan)
    over: dict[str, list[tuple[date, float]]] = defaultdict(list)
    for p in plan.plantings:
        for number, lot in enumerate(p.lots):
            rest = left[p.id, number]
            if rest > max(LITTLE, 0.004 * crops[p.crop].units_per_plant):
                over[p.crop].append((lot.last, rest))
    return over


def _asked(periods: list, units: str) -> str:
    """Return what is asked for in words; the longest-lasting amount where it changes."""
    if not periods:
        return ""
    spans: dict[tuple[float, int], int] = defaultdict(int)
    for want in periods:
        days = (want.end - want.start).days + 1
        spans[want.wanted, days] += days
    (wanted, days), _ = max(spans.items(), key=lambda item: item[1])
    return f"{amount(wanted, periods[0].unit, units)} {every_text(days, len(periods))}"


def _whys(periods: list) -> tuple[tuple[str, date, date, float], ...]:
    """Return each reason once for each run of periods it holds."""
    runs: list[list] = []
    for want in periods:
        lack = want.wanted - want.met
        if lack <= LITTLE:
            continue
        if runs and runs[-1][0] == want.why and (want.start - runs[-1][2]).days <= 1:
            runs[-1][2], runs[-1][3] = want.end, runs[-1][3] + lack
        else:
            runs.append([want.why, want.start, want.end, lack])
    return tuple(tuple(run) for run in runs)


def cells_by_week(plan: Plan) -> dict[str, tuple[tuple[date, int], ...]]:
    """Return for each tray the most cells in use on any day of each week."""
    first_days = weeks(plan.site.start, plan.site.end, plan.site.week_start)
    result = {}
    for tray in plan.trays:
        batches = [p for p in plan.plantings if p.tray == tray.name and p.planting_out]
        result[tray.name] = tuple((week, _most(batches, week)) for week in first_days)
    return result


def _most(batches: list[Planting], week: date) -> int:
    days = [week + timedelta(days=n) for n in range(7)]
    return max(sum(b.cells for b in batches if b.sow <= day < b.planting_out) for day in days)
