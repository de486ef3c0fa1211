"""What the gardener has settled: fixed sowings, checked and placed before anything is chosen."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import timedelta

from sowplan.growth.reasons import day_words
from sowplan.problem import Exit, Problem
from sowplan.records.crop import Crop
from sowplan.records.garden import FixedSowing, Garden
from sowplan.season.choices.book import Book
from sowplan.season.choices.candidates import book_of
from sowplan.season.choices.even_so import NOT_BY_THEN, held_until, large_too_late, why_nothing
from sowplan.season.choices.instance import NEVER, CropCase
from sowplan.season.in_vain import vain_words
from sowplan.season.nowhere import nowhere
from sowplan.season.planted import planting_of
from sowplan.season.search.standing import Standing


def cannot_be(garden: Garden, crops: dict[str, Crop], safety: float = 0.5) -> list[Problem]:
    """Return a problem for each sowing or want that cannot be; quick, as nothing else is weighed.

    Parameters
    ----------
    garden, crops, safety
        As for `sowplan.season.planner.make_plan`.
    """
    found = nowhere(garden, crops)
    if not garden.sowings:
        return found
    book = book_of(replace(garden, wants=()), crops, safety)
    return found + settle(book, Standing(book.instance))


def stand_in_vain(garden: Garden, crops: dict[str, Crop], safety: float = 0.5) -> list[str]:
    """Return what is to be said of each settled sowing that stands even so, by the gardener's word.

    Parameters
    ----------
    garden, crops, safety
        As for `cannot_be`, which has no problem with them.
    """
    if not any(sowing.even_so for sowing in garden.sowings):
        return []
    book = book_of(replace(garden, wants=()), crops, safety)
    standing = Standing(book.instance)
    settle(book, standing)
    batches = standing.batches.values()
    names = {crop.key: crop.name for crop in book.crops}
    return list(vain_words([planting_of(book, batch, "") for batch in batches], names))


def settle(book: Book, standing: Standing, numbers: Iterable[int] | None = None) -> list[Problem]:
    """Place the fixed sowings, or those of some numbers; return a problem for each that cannot be.

    Those whose place is given go first, the largest first, so that one that may stand anywhere
    does not take the room of one that may not. Of a whole season's, the hours are looked at, too.
    """
    problems = []
    hours = numbers is None
    numbers = range(len(book.instance.fixed)) if numbers is None else numbers
    sized = sorted(
        numbers,
        key=lambda n: (
            book.instance.fixed[n].spot is None,
            -_units(book, n),
            n,
        ),
    )
    for number in sized:
        problem = _settle_one(book, standing, number)
        if problem is not None:
            problems.append(problem)
    standing.log.clear()
    return problems + (_too_long(book, standing) if hours and not problems else [])


def _too_long(book: Book, standing: Standing) -> list[Problem]:
    """Return a problem for each week in which the fixed sowings alone take too many hours."""
    most = book.instance.week_minutes
    if most is None:
        return []
    problems = []
    for week, minutes in sorted(standing.load.items()):
        begins = book.day(week * 7 - book.instance.week_begun)
        over = begins + timedelta(days=7) <= book.garden.season.start  # work of last season
        if minutes <= most + 1e-6 or over:
            continue
        shares = [
            (each * batch.plants + begin, batch)
            for batch in standing.batches.values()
            for job_week, each, begin in standing.jobs(batch.crop, batch.option)
            if job_week == week
        ]
        largest = max(shares, key=lambda share: share[0])[1]
        case = book.instance.crops[largest.crop]
        sowing = book.garden.sowings[int(case.options.fixed[largest.option])]
        message = (
            f"In the week of {day_words(begins)} your own sowings take {minutes / 60:.1f} hours of "
            f"sowing, planting out and clearing, and hours_a_week in [season] is {most / 60:g}: "
            "sow fewer or on other days, or allow more hours."
        )
        problems.append(_problem(sowing, "number", message))
    return problems


def _settle_one(book: Book, standing: Standing, number: int) -> Problem | None:
    batch, sowing = book.instance.fixed[number], book.garden.sowings[number]
    case, crop = book.instance.crops[batch.crop], book.crops[batch.crop]
    mine = [n for n, fixed in enumerate(case.options.fixed.tolist()) if fixed == number]
    if batch.spot is not None:
        group = book.instance.spots[batch.spot].group
        mine = [n for n in mine if case.options.group[n] == group]
    if not mine:
        return _problem(sowing, *_why_never(book, number, crop))
    # Raised before direct, where both are possible: that is what trays are for. What comes to
    # nothing either way is sown as it usually is.
    # Of places alike in this, first the one from which it serves most of what is wanted: a day more
    # until it is ready may be a day too late.
    bearing = [n for n in mine if case.options.bears[n]]
    raised = bool(bearing) or crop.usually_raised
    mine = sorted(
        bearing or mine,
        key=lambda n: ((case.options.tray[n] < 0) == raised, -_serves(case, n), n),
    )
    spots = None if batch.spot is None else [batch.spot]
    for option in mine:
        found = standing.place(batch.crop, option, batch.plants, spots)
        if found is not None:
            standing.add(found)
            return None
    for option in mine:
        if standing.split(batch.crop, option, batch.plants, spots):
            return None
    return _problem(sowing, *_why_no_room(book, standing, number, mine))


def _serves(case: CropCase, option: int) -> float:
    """Return how much of what is wanted falls in times that an option has something for."""
    periods, lots = case.periods, case.options.lots[option]
    return sum(
        float(need * weight)
        for start, end, need, weight in zip(
            periods.start, periods.end, periods.need, periods.weight, strict=True
        )
        if any(ready <= end and expiry >= start for ready, expiry, _ in lots)
    )


def _units(book: Book, number: int) -> int:
    batch = book.instance.fixed[number]
    rooms = book.instance.crops[batch.crop].room.values()
    return max((int(room[min(batch.plants, len(room) - 1)]) for room in rooms), default=0)


EVEN_SO = (
    "Where it stands all the same, or is to, write even_so = true below it: it takes its ground, "
    "and no harvest is counted on."
)


HELD = (
    "Where you pot it on and hold it for fit days, write even_so = true below it: its harvest is "
    "reckoned from when it goes out."
)


def _why_never(book: Book, number: int, crop: Crop) -> tuple[str, str]:
    """Return (key, message): why no course of a fixed sowing comes to a harvest."""
    batch, sowing = book.instance.fixed[number], book.garden.sowings[number]
    day = book.index(sowing.day)
    reasons, large, right = [], [], EVEN_SO
    suits = over = False
    for way in book.ways:
        if way.crop != batch.crop or not way.is_of(sowing.cover):
            continue
        group = None if batch.spot is None else book.instance.spots[batch.spot].group
        if group is not None and group not in way.groups:
            continue
        suits = True
        row = way.courses.sow.tolist().index(day)
        reasons.append(why_nothing(book, sowing, way, row))
        over |= bool(way.courses.feasible[row]) and not reasons[-1]
        end = book.index(sowing.until) + 1 if sowing.until is not None else NEVER
        if way.conditions.raised and held_until(crop, way.courses, row, end) >= 0:
            right = HELD
        if way.conditions.raised and large_too_late(way.courses, row, end):
            large.append(book.day(way.courses.large_enough[row]))
    name = crop.name
    if not suits and crop.start == "raised" and not book.trays:
        return "crop", f"{name} is raised before it is planted out, and there is no tray."
    if not suits and sowing.cover != "none":
        return "cover", (
            f"{sowing.cover} is laid over what grows in a bed in the open, and {name} may grow in "
            "none: take this line out, or add a bed."
        )
    if not suits:
        return "place", f"{name} does not suit this place; name a bed, or leave the place out."
    done = "sown" if sowing.raising != "bought plants" else "planted out"
    told = f"{name} {done} on {day_words(sowing.day)}"
    if over and sowing.day < book.garden.season.start and sowing.until is None:
        message = "has given all before the season begins: write it as a [[past]]."
        return "date", f"{told} {message}"
    if large and sowing.even_so:
        return "until", (
            f"{told} is large enough to be planted out about {day_words(min(large))}: let it stand "
            "until a later day."
        )
    why = next(filter(None, reasons), "")
    if why == NOT_BY_THEN:
        return "until", f"{told} is {why}. {EVEN_SO}"
    return "date", f"{told}{f': {why}' if why else ' brings no harvest'}. {right}"


def _why_no_room(
    book: Book, standing: Standing, number: int, options: list[int]
) -> tuple[str, str]:
    """Return (key, message): what is too small or too full for a fixed sowing."""
    batch = book.instance.fixed[number]
    case, crop = book.instance.crops[batch.crop], book.crops[batch.crop]
    spots = range(len(book.instance.spots)) if batch.spot is None else [batch.spot]
    holds = {spot: _most(book, batch.crop, spot) for spot in spots}
    most = max(holds.values())
    name = None if batch.spot is None else book.instance.spots[batch.spot].name
    many = f"{batch.plants} {crop.name}"
    if most < batch.plants:
        if name is None:
            held = f"the largest place holds {most}" if most else "not even one fits"
            return "number", f"no place is large enough for {many}: {held}."
        held = f"it holds {most}" if most else "not even one fits"
        return "number", f"{name} is too small for {many}: {held}."
    if all(case.options.tray[n] >= 0 for n in options):
        cells = case.cells(batch.plants)
        if all(not _has_cells(standing, case, n, cells) for n in options):
            return "number", (
                f"{cells} tray cells are needed, and no tray has so many free: "
                "sow fewer, or name a larger tray."
            )
    taken = sorted(
        {
            book.crops[other.crop].name
            for other in standing.batches.values()
            if other.spot in holds and other.fixed
        }
    )
    until = day_words(book.day(max(int(case.options.clear[n]) for n in options)))
    whom = f" beside {', '.join(taken)}" if taken else ""
    if name is None:
        return "place", f"nowhere has room for {many}{whom} until {until}: sow fewer."
    return "place", (
        f"{name} has no room for {many}{whom} until {until}: sow fewer, or choose another place."
    )


def _most(book: Book, crop: int, spot: int) -> int:
    """Return the most plants of a crop that a place holds when it is empty."""
    room = book.instance.crops[crop].room.get(book.instance.spots[spot].group)
    if room is None:
        return 0
    size = book.instance.spots[spot].open
    return max(n for n, units in enumerate(room.tolist()) if units <= size)


def _has_cells(standing: Standing, case, option: int, cells: int) -> bool:
    options = case.options
    group, sow, into = (int(v[option]) for v in (options.tray, options.sow, options.into))
    return standing.tray_for(group, sow, into, cells) >= 0


def _problem(sowing: FixedSowing, key: str, message: str) -> Problem:
    where = sowing.where
    found = {"crop": sowing.crop, "date": sowing.day.isoformat(), "number": str(sowing.plants)}
    found |= {"until": str(sowing.until), "cover": sowing.cover}
    text = found.get(key, sowing.place or "")
    return Problem(where.file, where.line, f"{where.table}, {key}", text, message, Exit.IMPOSSIBLE)
