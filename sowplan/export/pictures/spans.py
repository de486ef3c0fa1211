"""The weeks of a crop's bars: counted from the weekday it is wanted from, slivers joined."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from sowplan.export.pictures.scale import weeks
from sowplan.season.plan import PlanSite, WantPeriod

SLIVER_DAYS = 3
"""So few days beside a week are no bar of their own: too narrow to be told from a rule."""
DAY = timedelta(days=1)


@dataclass(frozen=True)
class Span:
    """Days from ``first`` to ``last``; ``drawn`` those of them that a bar covers."""

    first: date
    last: date
    drawn: tuple[date, date]

    @property
    def days(self) -> int:
        """How many days a bar covers."""
        return (self.drawn[1] - self.drawn[0]).days + 1


def own_weeks(site: PlanSite, asked: Sequence[WantPeriod]) -> tuple[Span, ...]:
    """Return the spans that a season falls into for one crop.

    Parameters
    ----------
    site : PlanSite
        Its first and last day, and on which day the gardener's weeks begin.
    asked : sequence of WantPeriod
        The periods of the crop's wants; may be empty.

    Returns
    -------
    tuple of Span
        Without gaps, from the season's first day to its last. Weeks begin on the day on which most
        periods do, so that a want from Saturday to Friday has whole bars. A bar covers the days
        on which something is wanted; all of its span where nothing is.
    """
    starts = Counter(want.start.weekday() for want in asked)
    begins = max(starts, key=lambda day: (starts[day], -day), default=site.week_start)
    firsts = [max(day, site.start) for day in weeks(site.start, site.end, begins)]
    lasts = [*(day - DAY for day in firsts[1:]), site.end]
    wanted = {
        want.start + n * DAY for want in asked for n in range((want.end - want.start).days + 1)
    }
    spans = []
    for first, last in zip(firsts, lasts, strict=True):
        mine = [day for day in (first + n * DAY for n in range(7)) if day in wanted and day <= last]
        spans.append(Span(first, last, (mine[0], mine[-1]) if mine else (first, last)))
    return _joined(spans, wanted)


def _joined(spans: list[Span], wanted: set[date]) -> tuple[Span, ...]:
    """Join what would be a sliver with the bar beside it."""
    found: list[Span] = []
    for one in spans:
        before = found[-1] if found else None
        if before and _is_sliver(one) and _adjoins(before, one, wanted):
            end = one.drawn[1] if one.drawn[0] in wanted else one.last
            found[-1] = replace(before, last=end, drawn=(before.drawn[0], end))
            if end < one.last:
                found.append(Span(end + DAY, one.last, (end + DAY, one.last)))
        elif before and _is_sliver(before) and _adjoins(before, one, wanted):
            start = before.drawn[0]
            found.pop()
            if before.first < start:
                found.append(Span(before.first, start - DAY, (before.first, start - DAY)))
            found.append(Span(start, one.last, (start, one.drawn[1])))
        else:
            found.append(one)
    return tuple(found)


def _is_sliver(span: Span) -> bool:
    return span.days <= SLIVER_DAYS


def _adjoins(before: Span, after: Span, wanted: set[date]) -> bool:
    """Return whether two bars touch and are both of days wanted, or both of days not wanted."""
    touch = before.drawn[1] + DAY == after.drawn[0]
    return touch and (before.drawn[1] in wanted) == (after.drawn[0] in wanted)
