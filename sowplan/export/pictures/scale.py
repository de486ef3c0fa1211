"""The time axis: days to pixels, months and weeks along it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from sowplan.export.dates import months, week_of
from sowplan.export.pictures import svg
from sowplan.export.pictures.lettering import width
from sowplan.export.pictures.style import SMALL, TEXT, Palette
from sowplan.export.pictures.words import MONTHS

OUR_FONT, PHONE_FONT, ANY_FONT = 1.04, 1.15, 1.3
"""How much wider letters may run than is reckoned: of the shipped font, a phone's sans, any."""


@dataclass(frozen=True)
class Scale:
    """Days from ``start`` to ``end`` (both included) across ``left`` to ``right`` [px]."""

    start: date
    end: date
    left: float
    right: float

    @property
    def per_day(self) -> float:
        """Pixels a day."""
        return (self.right - self.left) / ((self.end - self.start).days + 1)

    def x(self, day: date) -> float:
        """Return where a day begins, held within the axis."""
        at = self.left + (day - self.start).days * self.per_day
        return min(max(at, self.left), self.right)

    def after(self, day: date) -> float:
        """Return where a day ends."""
        return self.x(day + timedelta(days=1))

    def months(self) -> Iterator[tuple[date, float, float]]:
        """Yield each month's first day, and where it begins and ends on the axis."""
        for month, following in months(self.start, self.end):
            yield month, self.x(month), self.x(following)


def weeks(start: date, end: date, week_start: int) -> list[date]:
    """Return the first day of each week that touches the days from ``start`` to ``end``."""
    first = week_of(start, week_start)
    return [first + timedelta(days=7 * n) for n in range((end - first).days // 7 + 1)]


def month_names(scale: Scale, y: float, colours: Palette, wider: float = OUR_FONT) -> list[str]:
    """Return the months' names with their baseline at ``y``, all as long; the year where it is new.

    A month cut short by the season's start or end may have room for less, or for no name.
    ``wider`` is how much wider than the shipped font's the letters may be set.
    """
    months = [(month, right - left - 6) for month, left, right in scale.months()]
    whole = [room for month, room in months if room >= 27 * scale.per_day - 6]
    whole = whole or [max(room for _, room in months)]
    letters = next((n for n in (9, 3) if _longest(months, n) * wider <= min(whole)), 1)
    parts = []
    for n, (month, room) in enumerate(months):
        name = MONTHS[month.month - 1][:letters]
        year = f" {month.year}" if n == 0 or month.month == 1 else ""
        short = MONTHS[month.month - 1][:3]
        for words in (name + year, short + year, name, name[:3], name[:1]):
            if width(words, TEXT, True) * wider <= room:
                parts.append(svg.text(scale.x(month) + 5, y, words, font_weight=600))
                break
    return parts


def _longest(months: list[tuple[date, float]], letters: int) -> float:
    return max(width(MONTHS[month.month - 1][:letters], TEXT, True) for month, _ in months)


def month_rules(scale: Scale, top: float, bottom: float, colours: Palette) -> list[str]:
    """Return an upright hairline where each month begins; a new year's is darker."""
    months: list[str] = []
    years: list[str] = []
    for month, left, _ in scale.months():
        if month > scale.start:
            rule = f"M{svg.number(left)} {svg.number(top)}V{svg.number(bottom)}"
            (years if month.month == 1 else months).append(rule)
    return [
        svg.element("path", None, d="".join(rules), stroke=stroke)
        for rules, stroke in ((months, colours.line), (years, colours.edge))
        if rules
    ]


def caption(x: float, y: float, words: str, colours: Palette, **attributes: object) -> str:
    """Return small quiet text."""
    return svg.text(x, y, words, SMALL, fill=colours.quiet, **attributes)
