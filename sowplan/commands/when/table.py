"""A year of sowings as the lines of a table, or as JSON holds it."""

from __future__ import annotations

from datetime import date
from textwrap import wrap
from typing import TYPE_CHECKING, Any

from sowplan.commands.screen import SCREEN

if TYPE_CHECKING:
    from sowplan.growth.courses import Course
    from sowplan.growth.succession import Row

_WIDE = 27  # characters of the column "First harvest", more where years stand in it
_LONG_DAYS = 300  # a harvest later than this after sowing is told with its year


def plain(row: Row) -> dict[str, Any]:
    """Return a row as JSON holds it: ISO dates, None where an event does not come to pass."""
    c = row.course
    return {
        "sow": c.sow.isoformat(),
        "emergence": _iso(c.emergence),
        "planting_out": _iso(c.planting_out),
        "harvest_start": _iso(c.harvest_start),
        "harvest_start_early": _iso(c.harvest_start_early),
        "harvest_start_late": _iso(c.harvest_start_late),
        "harvest_end": _iso(c.harvest_end),
        "days": row.days,
        "interval_days": row.interval_days,
        "size": c.size,
        "feasible": c.feasible,
        "reason": c.reason,
        "missed": [[_iso(first), _iso(last)] for first, last in row.missed],
        "lots": [
            {"ready": lot.ready.isoformat(), "last": lot.last.isoformat(), "share": lot.share}
            for lot in c.lots
        ],
    }


def table(rows: tuple[Row, ...], bought: bool = False, bulbs: bool = False) -> list[str]:
    """Return the lines of the table; a year stands where it is new, a reason where it changes.

    Of bought plants the first date is the day they are planted out, and there is nothing between.
    What stays small is marked.
    """
    from sowplan.growth.courses import SMALL_SIZE
    from sowplan.growth.reasons import without_dates
    from sowplan.supply.wording import days_text

    away = _missed(rows)
    raised = any(row.course.planting_out for row in rows)
    columns = f"{'Sow':<8}{'Up':<8}" + (f"{'Plant out':<10}" if raised else "")
    if bought:
        columns = f"{'Out':<8}"
    wide = max([_WIDE, *(len(_first(row.course)) + 1 for row in rows if row.course.feasible)])
    first = f"{'First harvest':<{wide}}"
    lines = [f"{columns}{first}{'Until':<7}{'Days':>4}  {'Again' if bought else 'Sow again'}"]
    year, said = None, ""
    for row in rows:
        if row.course.sow.year != year:
            year, said = row.course.sow.year, ""
            lines.append(f"{year}")
        kind = without_dates(row.course.reason)
        if kind and kind == said:
            lines.append(f'{short(row.course.sow):<8}  "')
        elif not row.course.feasible:
            head = f"{short(row.course.sow):<8}"
            lines += wrap(row.course.reason, SCREEN, initial_indent=head, subsequent_indent=" " * 8)
        else:
            marks = "~" * (row.course.size < SMALL_SIZE) + "".join(
                away[span] for span in row.missed
            )
            lines.append(f"{_line(row, raised, wide, bought).rstrip()} {marks}".rstrip())
        said = kind
    notes = _small(rows, bulbs)
    notes += [
        f"{mark} Nobody is there to harvest from {days_text(*span)}." for span, mark in away.items()
    ]
    return lines + notes


def _small(rows: tuple[Row, ...], bulbs: bool) -> list[str]:
    """Say what the mark of what stays small means, and how small."""
    from sowplan.growth.courses import SMALL_SIZE

    grown = (row.course.size for row in rows if row.course.feasible)
    sizes = [size for size in grown if size < SMALL_SIZE]
    if not sizes:
        return []
    low, high = (round(20 * size) * 5 for size in (min(sizes), max(sizes)))
    percent = f"{low}" if low == high else f"{low} to {high}"
    cause = "Small bulbs, set late" if bulbs else "Cut young, before it runs to seed"
    return [f"~ {cause}: some {percent} % of the usual weight."]


def _missed(rows: tuple[Row, ...]) -> dict[tuple[date, date], str]:
    """Return a mark for each time away in which harvests fall: ``"*"``, ``"**"``."""
    spans = sorted({span for row in rows for span in row.missed})
    return {span: "*" * n for n, span in enumerate(spans, 1)}


def _line(row: Row, raised: bool, wide: int, bought: bool) -> str:
    c = row.course
    out = f"{short(c.planting_out):<10}" if raised else ""
    between = "" if bought else f"{short(c.emergence):<8}{out}"
    again = {None: "", 1: "next day"}.get(row.interval_days, f"in {row.interval_days} days")
    return (
        f"{short(c.sow):<8}{between}{_first(c):<{wide}}"
        f"{short(c.harvest_end):<7}"
        f"{row.days:>4}  {again}"
    )


def _first(c: Course) -> str:
    """Return ``"9 Nov (4 Nov to 15 Nov)"``; the year with it where it is long after sowing.

    The day alone indoors, where it is the same in every year.
    """
    start = c.harvest_start
    year = f" {start.year}" if start and (start - c.sow).days > _LONG_DAYS else ""
    if c.harvest_start_early == start == c.harvest_start_late:
        return f"{short(start)}{year}"
    early, late = short(c.harvest_start_early), short(c.harvest_start_late)
    return f"{short(start)}{year} ({early} to {late})"


def short(day: date | None) -> str:
    """Return ``" 5 Sep"``; nothing for None."""
    from sowplan.supply.wording import MONTHS

    return "" if day is None else f"{day.day:>2} {MONTHS[day.month - 1][:3]}"


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
