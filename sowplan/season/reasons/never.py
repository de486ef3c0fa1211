"""Why no sowing of a season could serve some days: what cold, heat, light or calendar forbid."""

from __future__ import annotations

import re
from collections import Counter

from sowplan.growth.reasons import day_words, without_dates
from sowplan.season.choices.book import Book
from sowplan.season.plan import labelled
from sowplan.season.reasons.clauses import clause
from sowplan.season.reasons.fates import (
    Fate,
    bought_instead,
    days_before,
    fates_of,
    fates_of_way,
    fates_on_any_day,
    ways_of,
)
from sowplan.season.reasons.limits import WEEKDAYS
from sowplan.season.reasons.nearest import nearest
from sowplan.season.words import listed

EARLIER_DAYS = 182
"""How long before the season sowings are looked at that would have been in time."""
HALF_YEAR_DAYS = 182
SHORT_DAY_H = 11.0
"""Growth in days shorter than this on the mean is held up by them (common practice, no source)."""
SLOWER = 1.3
"""A sowing that takes so many times as long as the quickest is held up by something."""

UNTIL = re.compile(r" until \d+ \w+$")
"""Until when something forbids sowing, where the day on which it no longer does is told already."""

_LABELS = (
    ("nobody is there", "days away"),
    ("the days away", "days away"),
    ("days to harvest", "harvest days"),
    ("nothing is done on", "days off"),
    ("too mild", "a mild winter"),
    ("too late for the cold", "too late"),
    ("ground is frozen", "frost"),
    ("no bulb forms", "short days"),
    ("days longer", "long days"),
    ("after the cold of winter", "bolting"),
    ("cold while it is young", "bolting"),
    ("frost", "frost"),
    ("a night of", "cold"),
    ("cold nights", "cold"),
    ("too hot", "heat"),
    ("heat", "heat"),
    ("cold and short days", "cold and short days"),
    ("too cold", "cold"),
    ("no time to plant it out", "cold"),
    ("lie too long", "cold"),
    ("not ready by", "too late"),
    ("in a late year", "too late"),
)


def label_of(reason: str) -> str:
    """Return a growth reason in a word or two: ``"frost"``, ``"short days"``."""
    return next((label for words, label in _LABELS if words in reason), "the season")


def never(book: Book, crop: int, start: int, end: int) -> str:
    """Say why no sowing of the season is fit to harvest from day ``start`` to day ``end``."""
    name = book.crops[crop].name
    if not ways_of(book, crop):
        raised = book.crops[crop].start == "raised" and not book.trays
        if raised:
            return labelled("no tray", "it is raised before planting out, and there is no tray")
        return labelled("no place", f"no place here suits {name}")
    fit = served_but_for_absence(book, crop, start, end)
    if fit:
        return _nobody_there(book, crop, fit, start, end)
    every = fates_of(book, crop)
    # In a season of a year and more, what is sown after these days cannot serve them.
    fates = [fate for fate in every if fate.sow <= end]
    good = [fate for fate in fates if fate.comes]
    if not good:
        later = [fate for fate in every if fate.comes and fate.ready < end + HALF_YEAR_DAYS]
        if later and end - every[0].sow < min(fate.ready - fate.sow for fate in later):
            return _too_early(book, crop, every, later, start, end)
        return _nothing_comes(book, crop, start, end)
    if min(fate.ready for fate in good) > end:
        return _too_early(book, crop, fates, good, start, end)
    return _between(book, crop, fates, good, start, end)


def served_but_for_absence(book: Book, crop: int, start: int, end: int) -> list[Fate]:
    """Return the sowings fit to harvest on some days were nobody ever away; none where nobody is.

    Days away stand in the way of just those days for which there are such sowings.
    """
    if not book.garden.season.away:
        return []
    return _fit_in(book, crop, fates_of(book, crop, always_there=True), start, end)


def _fit_in(book: Book, crop: int, fates: list[Fate], start: int, end: int) -> list[Fate]:
    """Return those of some sowings that are fit to eat on some days."""
    keeps = int(book.crops[crop].keeps_days)
    return [
        fate for fate in fates if fate.comes and fate.ready <= end and fate.over + keeps >= start
    ]


def _nobody_there(book: Book, crop: int, fit: list[Fate], start: int, end: int) -> str:
    """Say how days away stand in the way of sowings that would be fit but for them."""
    real = {fate.sow: fate for fate in fates_of(book, crop)}
    open_ = sorted((real[f.sow].comes, -f.sow, f) for f in fit if f.sow in real)
    if not open_:
        first, last = (book.day(fate.sow) for fate in (fit[0], fit[-1]))
        one_month = (first.year, first.month) == (last.year, last.month)
        begins = str(first.day) if one_month else day_words(first)
        when = f"on {day_words(last)}" if first == last else f"from {begins} to {day_words(last)}"
        words = f"it would have to be sown {when}, in or just before the days away"
        return labelled("days away", words + _or_another_day(book, crop, start, end))
    comes, _, fate = open_[0]
    sown, own = day_words(book.day(fate.sow)), real[fate.sow]
    words = f"sown on {sown}, {clause(own.reason)}"
    if (
        label_of(own.reason) == "harvest days"
    ):  # were nobody away, one would be among those it is fit
        words = f"sown on {sown}, your days to harvest while it is fit are days away"
    if comes:
        ready = _day(book, own.ready, start)
        words = f"sown on {sown}, it has to wait for somebody and is ready from {ready}"
    return labelled("days away", words)


def _or_another_day(book: Book, crop: int, start: int, end: int) -> str:
    """Name a day not to sow on that would be in time, days away or not; empty where there is none.

    Either of two rules could give way then: neither is all that binds.
    """
    sow_on = book.garden.season.sow_on
    if not sow_on:
        return ""
    fit = _fit_in(book, crop, fates_on_any_day(book, crop), start, end)
    if not fit:
        return ""
    day = book.day(fit[len(fit) // 2].sow)
    only = listed([WEEKDAYS[n] for n in sow_on])
    other = f"{WEEKDAYS[day.weekday()][:3]} {day_words(day)}"
    return f", or on another day than {only} (sow_on), such as {other}"


def _nothing_comes(book: Book, crop: int, start: int, end: int) -> str:
    """Say why no sowing comes to anything: what ends the one that came nearest to it."""
    found = nearest(book, crop, start, end)
    if found is None:
        return labelled("too late", "no sowing day of the season is in time")
    mine, before = found
    dated = without_dates(mine.reason) != mine.reason
    words = f"sown on {day_words(book.day(mine.sow))}, " if dated else ""
    words += clause(mine.reason)
    if before is not None and dated:
        words += f"; sown before, {UNTIL.sub('', clause(before.reason))}"
    return labelled(label_of(mine.reason), words)


def _of_most(fates: list[Fate]) -> list[Fate]:
    """Return those whose reason, dates apart, is that of most."""
    most = Counter(without_dates(fate.reason) for fate in fates).most_common(1)[0][0]
    return [fate for fate in fates if without_dates(fate.reason) == most]


def _too_early(
    book: Book, crop: int, fates: list[Fate], good: list[Fate], start: int, end: int
) -> str:
    """Say when the first sowing of the season is ready, and what keeps earlier ones back."""
    first = _day(book, min(fate.ready for fate in good), start)
    if book.instance.gone:  # planned again: what would have been in time is past
        return labelled("too late", f"nothing sown from now on is ready before {first}")
    words = f"nothing sown this season is ready before {first}"
    # What holds up the way in which it is ready first, be others open sooner or not.
    best = min(good, key=lambda fate: (fate.ready, fate.sow))
    mine = _of_way(book, crop, best)
    opens = min(fate.sow for fate in mine if fate.comes)
    early = [fate for fate in mine if fate.sow < opens and fate.reason]
    if early:
        to, why = _day(book, opens, start), clause(early[-1].reason)
        # Until about then, as it is told already.
        for day in range(early[-1].sow, opens + 1):
            why = why.removesuffix(f" until {day_words(book.day(day))}")
        words += f"; sown before {to}, {why}"
        return labelled("too early", words + _bought(book, crop, start, end))
    before = _before_season(book, crop, start)
    if before is not None:
        by, sown = day_words(book.day(start)), _day(book, before, start)
        words += f"; for {by} it would be sown by {sown}, before the season begins"
    return labelled("too early", words + _bought(book, crop, start, end))


def _bought(book: Book, crop: int, start: int, end: int) -> str:
    """Say what plants bought in time would give on days too early for those sown, if they would."""
    other = bought_instead(book, crop)
    fit = _fit_in(other, crop, fates_of(other, crop), start, end) if other is not None else []
    if not fit:
        return ""
    first = min(fit, key=lambda fate: (fate.ready, -fate.sow))
    out, ready = (_day(book, day, start) for day in (first.sow, first.ready))
    return f"; plants bought and set out on {out} would be ready from {ready}"


def _of_way(book: Book, crop: int, fate: Fate) -> list[Fate]:
    """Return what becomes of a crop on each sowing day in the way a fate is of, and it itself."""
    way, days = ways_of(book, crop)[fate.way], set(book.sow_days)
    return [*fates_of_way(book, way, way.courses, book.garden.season, days), fate]


def _day(book: Book, day: int, asked: int) -> str:
    """Return a day in words, with its year where it is not the nearest day of that name.

    Nearest, that is, to the days asked for.
    """
    told = book.day(day)
    near = abs(day - asked) < HALF_YEAR_DAYS
    return day_words(told) if near else f"{day_words(told)} {told.year}"


def _before_season(book: Book, crop: int, by: int) -> int | None:
    """Return the last sowing day before the season of which something is fit by a day, if any."""
    earlier = days_before(book, crop, EARLIER_DAYS, by)
    keeps, wanted = int(book.crops[crop].keeps_days), earlier.index(book.day(by))
    in_time = [
        fate.sow
        for fate in fates_of(earlier, crop)
        if fate.comes and fate.ready <= wanted <= fate.over + keeps
    ]
    return book.index(earlier.day(max(in_time))) if in_time else None


def _between(book: Book, crop: int, fates, good, start: int, end: int) -> str:
    """Say why harvests stop before some days, and begin again after them, if they do."""
    keeps = int(book.crops[crop].keeps_days)
    over = [fate for fate in good if fate.over + keeps < start]
    later = [fate for fate in good if fate.ready > end]
    opens = max((fate.sow for fate in over), default=fates[0].sow - 1)
    begins = min((fate.sow for fate in later if fate.sow > opens), default=end + 1)
    held = [f for f in fates if opens < f.sow < begins and not f.comes and f.reason]
    parts, label = [], ""
    if over:
        last = max(over, key=lambda fate: (fate.over, fate.sow))
        by, gone = (_day(book, day, start) for day in (last.sow, last.over + keeps))
        parts.append(f"what is sown by {by} is over by {gone}")
    if later:
        fate = min(later, key=lambda fate: (fate.ready, fate.sow))
        label = slow_label(book, good, fate)
        from_, ready = (_day(book, d, start) for d in (min(f.sow for f in later), fate.ready))
        parts.append(f"what is sown from {from_} on is ready from {ready}")
    parts = [" and ".join(parts)] if parts else []
    if held:
        # After the last that came: why the next did not. Else the reason of most.
        mine = held if over else _of_most(held)
        label = label_of(mine[0].reason)
        dated = without_dates(mine[0].reason) != mine[0].reason
        sown = _day(book, mine[0].sow, start)
        when = f"on {sown}" if dated else "between" if over and later else f"from {sown} on"
        parts.append(f"sown {when}, {clause(mine[0].reason)}")
        if over and later and label_of(held[-1].reason) != label:
            # Before the first to come again something else may stand in the way.
            parts.append(f"sown on {_day(book, held[-1].sow, start)}, {clause(held[-1].reason)}")
    if not parts:
        return _nothing_comes(book, crop, start, end)
    return labelled(label or "too late", "; ".join(parts))


def slow_label(book: Book, good: list[Fate], fate: Fate) -> str:
    """Return what holds a sowing up; empty where it takes hardly longer than the quickest."""
    quickest = min(other.ready - other.sow for other in good)
    if fate.ready - fate.sow < SLOWER * quickest:
        return ""
    hours = float(book.sky.series.daylength[fate.sow : fate.ready + 1].mean())
    return "short days" if hours < SHORT_DAY_H else "cold"
