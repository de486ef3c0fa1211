"""The months' sheets: what to do by day, and where everything stands, as large as paper allows.

Whoever stands at the shed door reads from a step away: a month of few jobs is set in larger type,
and months so short that several are read well on one sheet share it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from datetime import date, timedelta

from sowplan.export.by_diary import left_and_done
from sowplan.export.dates import FEW_DAYS, days_of_month, week_of
from sowplan.export.dates import months as every_month
from sowplan.export.pictures.lettering import width
from sowplan.export.pictures.words import day_month, day_month_year, plain, temperature, weekday_day
from sowplan.quantity import HARD_SPACE, INCH_MM, kept_together
from sowplan.records.diary import Entry
from sowplan.season.plan import Plan
from sowplan.supply.tasks import ORDER, Task
from sowplan.supply.water.words import LITTLE_L, a_week_l, water_amount
from sowplan.supply.wording import MONTHS, days_text, percent_text

MID_MONTH = 15
ONE_DAY = timedelta(days=1)
SCRAP = 2  # tasks of a first or last month that needs no sheet of its own

SCALES = (1.5, 1.4, 1.3, 1.2, 1.1, 1.0)
"""How much larger than usual the words may be set: from 14 pt down to 9.5 pt."""
SMALLER = (1.0, 0.95, 0.9)
"""A month of several pages is set a little smaller where that spares a page."""
LARGER = (2.0, 1.85, 1.7, 1.55, 1.45, 1.35, 1.25, 1.15, 1.08, 1.0, 0.92, 0.85, 0.78, 0.7, 0.62)
"""How large the beds may be drawn, to the usual: as paper is left; their names are set alike."""
PARTED = (1.0, 0.92, 0.85, 0.78)
"""How large beds on several pages are drawn: not as small as those that fit one then."""
TOGETHER = 1.2
"""Months share a sheet where they can be set so large on it at least."""
MOST_TOGETHER = 4
SKY_SCALE = 1.2  # the line below a month's name is set no larger

# Measures of a month as sheets.typ sets it, in the usual size [mm].
MARGINS_MM = 30.0  # of a page, top and bottom as left and right
SPARE_MM = 10.0  # columns end level within the taller of two tasks
COLUMN_MM, MARKS_MM = 85.6, 19.1  # a column of the narrower page; day and box beside a task
TASK_PT, SMALL_PT, PT_MM = 9.5, 8.2, INCH_MM / 72
TICK_MM, LINE_MM, NEXT_LINE_MM, APART_MM = 3.1, 2.2, 3.9, 1.9
TITLE_MM, GAP_MM, BEDS_HEAD_MM, RULE_MM = 8.0, 3.0, 12.5, 11.0
HEAD_MM = 20.0  # of a month that has a sheet to itself


def months(plan: Plan, entries: Sequence[Entry] = ()) -> Iterator[dict[str, object]]:
    """Yield each month of the season with its sky and the lines of its tasks.

    A first or last month of hardly any task shares its neighbour's sheet. What the diary's
    ``entries`` have done stands ticked; of what they leave nothing of no line is left.
    """
    left, ticked = left_and_done(plan, entries)
    done = frozenset(ticked)
    todo = sorted((*ticked, *left), key=lambda task: (task.day, ORDER.index(task.kind)))
    for shown, first, following, mine in _sheets(plan, todo):
        before = following - ONE_DAY
        names = [MONTHS[month.month - 1] for month in (first, before)]
        years = [str(first.year)] * (first.year != before.year) + [str(before.year)]
        title = " and ".join(dict.fromkeys(names)) + f" {before.year}"
        if len(years) > 1:
            title = f"{names[0]} {years[0]} and {names[1]} {years[1]}"
        yield {
            "month": shown.isoformat(),
            "title": title,
            "sky": month_sky(plan, first, following),
            "lines": month_lines(plan, mine, done),
            "beds_on": day_month_year(beds_day(plan, shown)),
        }


def _sheets(plan: Plan, todo: Sequence[Task]) -> list[tuple[date, date, date, list[Task]]]:
    """Return each sheet of months: whose beds it shows, its first day, the next's, its tasks."""
    found: list[tuple[date, date, date, list[Task]]] = []
    last = max([plan.site.end, *(task.day for task in todo)])
    for month, following in every_month(plan.site.start, last):
        mine = [task for task in todo if month <= task.day < following]
        if mine or days_of_month(plan, month, following) >= FEW_DAYS:
            found.append((month, month, following, mine))
    for scrap, beside, whole in ((0, 1, slice(0, 2)), (-1, -2, slice(-2, None))):
        few = len(found) > 1 and 0 < len(found[scrap][3]) <= SCRAP
        if few and found[min(scrap, beside)][2] == found[max(scrap, beside)][1]:
            (_, first, _, mine), (_, _, following, more) = found[whole]
            found[whole] = [(found[beside][0], first, following, mine + more)]
    return found


def beds_day(plan: Plan, month: date) -> date:
    """Return the day whose beds a month's sheet shows: its middle, held within the season.

    Where the season is over but for its clearing by then, the last day on which anything stands.
    """
    middle = min(max(month.replace(day=MID_MONTH), plan.site.start), plan.site.end)
    over = max((p.cleared for p in plan.plantings), default=middle)
    return over - ONE_DAY if month < over <= middle else middle


def month_sky(plan: Plan, month: date, following: date) -> list[str]:
    """Return a month's sky in three short phrases, and the water a week where any is to give."""
    days = [d for d in plan.sky if month <= d.day < following]
    if not days:
        return []
    units, count = plan.site.units, len(days)
    first, last = days[0].daylength_h, days[-1].daylength_h
    nights, noons = (sum(d.tmin_c for d in days) / count, sum(d.tmax_c for d in days) / count)
    frost = max(d.frost_chance for d in days)
    words = [
        f"Day {' to '.join(dict.fromkeys(plain(round(h, 1)) for h in (first, last)))} h",
        f"nights {temperature(nights, units)}, days {temperature(noons, units)}",
    ]
    litres = a_week_l(plan, month, following)
    away = [
        f"away {days_text(first, last)}"
        for first, last in sorted(plan.site.away)
        if first < following and month <= last
    ]
    return [
        *words,
        *away,
        f"frost risk up to {percent_text(frost)} a week" if frost >= 0.005 else "no frost likely",
        *([f"water: about {water_amount(litres, units)} a week"] if litres >= LITTLE_L else []),
    ]


def month_lines(
    plan: Plan, mine: Sequence[Task], ticked: Collection[Task] = ()
) -> list[dict[str, object]]:
    """Return a line a task: the day at the first of its tasks, a rule where a week begins."""
    lines, before, begins = [], None, plan.site.week_start
    for task in mine:
        new = before is None or task.day != before
        lines.append(
            {
                "date": weekday_day(task.day).rsplit(" ", 1)[0],
                "day": weekday_day(task.day).rsplit(" ", 1)[0] if new else "",
                "week": before is not None and week_of(task.day, begins) != week_of(before, begins),
                "title": kept_together(task.title),
                "until": f"until {day_month(task.until)}".replace(" ", HARD_SPACE)
                if task.until > task.day and task.kind != "harden off"  # its title says it
                else "",
                "done": task in ticked,
            }
        )
        before = task.day
    return lines


def line_mm(line: dict[str, object], scale: float = 1.0) -> float:
    """Return how tall a task's line is set [mm]: its words broken as the typesetter breaks them."""
    # In the usual size: a larger one leaves room for fewer words.
    room, space = (COLUMN_MM / scale - MARKS_MM) / PT_MM, width(" ", TASK_PT)
    pieces = [width(word, TASK_PT) for word in str(line["title"]).split(" ")]
    if line["until"]:
        pieces[-1] += width(",", SMALL_PT)
        pieces.append(width(str(line["until"]), SMALL_PT))
    lines, at = 1, 0.0
    for piece in pieces:
        if at and at + space + piece > room:
            lines, at = lines + 1, piece
        else:
            at += piece + (space if at else 0.0)
    text = max(TICK_MM, LINE_MM + (lines - 1) * NEXT_LINE_MM)
    return scale * (text + APART_MM * (2 if line["week"] else 1))


# -- onto the paper


def on_sheets(months: Sequence[dict], across_mm: float, down_mm: float) -> list[dict[str, object]]:
    """Return the sheets of some months: how large each is set, and its months dealt onto columns.

    Parameters
    ----------
    months : sequence of dict
        Of `months`; each with ``beds``, its pictures with their heights (``high_mm``), by how much
        large they are drawn (`LARGER`), and ``free``, words on what stands free. ``deal`` deals
        the places anew, onto a room below the tasks and then pages, drawn so large.
    across_mm, down_mm : float
        Size of the page.

    Returns
    -------
    list of dict
        With ``scale``, and ``months``; these without their lines, but with ``pages`` of two
        columns, and how ``large`` to the usual each picture's beds are drawn.
    """
    wide, high = across_mm - MARGINS_MM, down_mm - MARGINS_MM
    groups: list[list[dict]] = []
    for month in months:
        more = [*groups[-1], month] if groups else []
        if 0 < len(more) <= MOST_TOGETHER and _together_mm(more, TOGETHER, wide) <= high:
            groups[-1] = more
        else:
            groups.append([month])
    return [_set(group, wide, high) for group in groups]


def _set(group: Sequence[dict], wide_mm: float, high_mm: float) -> dict[str, object]:
    """Return a sheet of some months, set as large as there is room for."""
    fitting = (s for s in SCALES if _together_mm(group, s, wide_mm) <= high_mm)
    scale = next(fitting, 0.0) or _scale_of_pages(group, high_mm)
    roomy = (by for by in LARGER if _together_mm(group, scale, wide_mm, by) <= high_mm)
    together = next(roomy, 0.0)
    found = []
    for month in group:
        told = {key: value for key, value in month.items() if key not in ("lines", "month", "deal")}
        pages = dealt(month["lines"], high_mm - HEAD_MM, scale)
        pictures, large, _ = _beds_set(month, pages, scale, high_mm)
        beds = [
            {key: value for key, value in one.items() if key != "high_mm"}
            | {"large": together or large}
            for one in (month["beds"] if together else pictures)
        ]
        found.append(told | {"pages": pages, "beds": beds})
    return {"scale": scale, "months": found}


def _scale_of_pages(group: Sequence[dict], high_mm: float) -> float:
    """Return how large a month is set for which one page is too small: so that it takes fewest."""

    def pages(scale: float) -> tuple[int, float]:
        many = 0
        for month in group:
            told = dealt(month["lines"], high_mm - HEAD_MM, scale)
            many += max(len(told), 1) + _beds_set(month, told, scale, high_mm)[2]
        return many, -scale

    return min(SMALLER, key=pages)


def _beds_set(
    month: dict, pages: Sequence, scale: float, high_mm: float
) -> tuple[list[dict], float, int]:
    """Return a month's pictures of beds, how large they are drawn, and how many pages they fill.

    Below the last of its tasks, where there is room for all; else on pages of their own, all to one
    scale. Some of them begin below the tasks where that spares a page.
    """
    room, page = _room_below(month, pages, scale, high_mm), _room_alone(month, scale, high_mm)
    own = month["beds"]
    below = _largest(own[0], room) if len(own) == 1 else 0.0
    if below:
        return own, below, 0
    if "deal" in month:
        found = {by: month["deal"](room, page, by) for by in PARTED if len(own) > 1}
        by = min(found, key=lambda by: (len(found[by]), -by), default=1.0)
        # The first of them, below the tasks, is on no page of its own.
        if found and found[by][0]["places"] and len(found[by]) - 1 < len(own):
            return found[by], by, len(found[by]) - 1
    return own, min((_largest(one, page) or 1.0 for one in own), default=1.0), len(own)


def _room_below(month: dict, pages: Sequence, scale: float, high_mm: float) -> float:
    """Return the height left for beds below the last of a month's tasks."""
    used = max((_column_mm(column, scale) for column in pages[-1]), default=0.0) if pages else 0.0
    return high_mm - HEAD_MM - used - BEDS_HEAD_MM - _free_mm(month, scale)


def _room_alone(month: dict, scale: float, high_mm: float) -> float:
    """Return the height for beds that have a page to themselves."""
    return high_mm - BEDS_HEAD_MM - _free_mm(month, scale)


def _largest(picture: dict, room_mm: float) -> float:
    return next((by for by in LARGER if picture["high_mm"][by] <= room_mm), 0.0)


def _free_mm(month: dict, scale: float) -> float:
    """Return how tall the words on what stands free are set below the beds."""
    return GAP_MM + _lines_mm(month["free"], scale, 2 * COLUMN_MM) if month["free"] else 0.0


def _together_mm(group: Sequence[dict], scale: float, wide_mm: float, larger: float = 1.0) -> float:
    """Return how tall months are set under one another; infinity where one takes several pages."""
    rules = RULE_MM * (len(group) - 1)
    return rules + sum(_month_mm(month, scale, wide_mm, larger) for month in group)


def _month_mm(month: dict, scale: float, wide_mm: float, larger: float) -> float:
    """Return how tall a month is set on one page; infinity where it takes several."""
    pages = dealt(month["lines"], 1e6, scale)
    if len(month["beds"]) > 1:
        return float("inf")
    sky = _lines_mm(" · ".join(month["sky"]), min(scale, SKY_SCALE), wide_mm)
    tasks_mm = max(_column_mm(column, scale) for column in pages[0]) if pages else LINE_MM * scale
    beds = sum(BEDS_HEAD_MM + one["high_mm"][larger] for one in month["beds"])
    free = 0.0
    if month["free"]:
        head = 0.0 if month["beds"] else BEDS_HEAD_MM
        free = head + GAP_MM + _lines_mm(month["free"], scale, wide_mm)
    return TITLE_MM + sky + 2 * GAP_MM + tasks_mm + beds + free


def _lines_mm(words: str, scale: float, wide_mm: float) -> float:
    """Return how tall a paragraph across the page is set."""
    full = width(words, TASK_PT * scale) * PT_MM
    return scale * (LINE_MM + NEXT_LINE_MM * int(full / wide_mm * 1.05))


def _column_mm(column: Sequence[dict], scale: float) -> float:
    return sum(line_mm(line, scale) for line in column)


def dealt(
    lines: Sequence[dict], column_mm: float, scale: float = 1.0
) -> list[list[list[dict[str, object]]]]:
    """Return a month's lines dealt onto pages of two columns that end level.

    Parameters
    ----------
    lines : sequence of dict
        Of `month_lines`.
    column_mm : float
        Most height of a column.
    scale : float
        How much larger than usual the words are set.
    """
    pages, rest = [], list(lines)
    tall = [line_mm(line, scale) for line in rest]
    while rest:
        height, n = 0.0, 0
        while n < len(rest) and height + tall[n] <= 2 * column_mm - SPARE_MM * scale:
            height += tall[n]
            n += 1
        n = max(n, 1)
        left, half = 0, 0.0
        while left < n and half + tall[left] / 2 <= height / 2:
            half += tall[left]
            left += 1
        pages.append([rest[: max(left, 1)], rest[max(left, 1) : n]])
        rest, tall = rest[n:], tall[n:]
    return [[_begun(column) for column in columns] for columns in pages]


def _begun(column: list[dict]) -> list[dict]:
    """Return a column whose first line names its day and has no rule above it."""
    if not column:
        return column
    return [column[0] | {"week": False, "day": str(column[0]["date"])}, *column[1:]]
