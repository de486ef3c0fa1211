"""Which of the gardener's own words stands in a want's way: each key lifted by itself, and tried.

A season's reasons are cold, heat, room; but where sowing on another weekday, in another bed or
fewer at a time would have served the days that go short, the garden file itself is the reason, and
the gardener can change it with a stroke.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from sowplan.growth.reasons import day_words
from sowplan.records.crop import Crop
from sowplan.records.garden import Garden, Want
from sowplan.season.choices.book import Book
from sowplan.season.choices.candidates import book_of
from sowplan.season.plan import WantPeriod, labelled
from sowplan.season.reasons.limits import WEEKDAYS, another_weekday
from sowplan.season.search.standing import Standing
from sowplan.season.words import listed

USUAL_RISK = 0.10
"""The share of years with a frost that a garden file takes where it says nothing."""
SOWINGS_TRIED = 40
NAMES_TOLD = 3
"""More places than so many are told by their number."""

_RAISED = {
    "direct": "you sow it direct only",
    "in trays": "you raise it in trays only",
    "bought plants": "you buy its plants",
}


@dataclass(frozen=True)
class Own:
    """A key of the garden file: a word or two for it, what it says, the garden without it.

    ``then`` is what would come in time without it.
    """

    label: str
    words: str
    garden: Garden
    safety: float | None = None
    then: str = "what is"


class Owns:
    """The gardener's own words about the crops of a book, each tried once."""

    def __init__(self, book: Book):
        self._book = book
        self._tried: dict[tuple, Book | None] = {}

    def shut_out(self, run: Sequence[WantPeriod]) -> str:
        """Return what shuts out every sowing that could serve some days; empty where none does.

        Parameters
        ----------
        run : sequence of WantPeriod
            Neighbouring periods that no sowing of the season can serve. A word is named where,
            without it, most of them could be served.
        """
        book, want = self._book, run[0]
        for own in owns_of(book, want):
            other = self._without(own, want)
            if other is None:
                continue
            fit = [_fit(other, w.crop, book.index(w.start), book.index(w.end), book) for w in run]
            first = next((options[0] for options in fit if options), None)
            if first is not None and 2 * sum(map(bool, fit)) > len(run):
                sown = _sown(other, want.crop, first)
                words = f"{own.words}; {own.then} sown on {sown} would come in time"
                return labelled(own.label, words)
        return ""

    def crowded_out(self, standing: Standing, crop: int, want: WantPeriod, needed: float) -> str:
        """Return which word leaves a period without room; empty where none does.

        Parameters
        ----------
        standing : Standing
            The finished season.
        crop : int
            The crop's number in it.
        want : WantPeriod
            A period that sowings could serve, were there room, cells, hours for them.
        needed : float
            Plants that are missing in it.
        """
        book = self._book
        for own in owns_of(book, want):
            other = self._without(own, want)
            if other is None:
                continue
            fit = _fit(other, want.crop, book.index(want.start), book.index(want.end), book)
            for option in fit[:: max(1, len(fit) // SOWINGS_TRIED)]:
                found = _place_for(other, standing, crop, want, option, needed)
                if found is not None:
                    plants, spot = found
                    sown = _sown(other, want.crop, option)
                    name = other.instance.spots[spot].name
                    told = f"{plants} sown on {sown} would find room in {name}"
                    return labelled(own.label, f"{own.words}; but for that, {told}")
        return ""

    def _without(self, own: Own, want: WantPeriod) -> Book | None:
        """Return the book of the garden without a word, with nothing wanted but its crop."""
        key = own.words, want.crop, want.want
        if key not in self._tried:
            garden = own.garden
            wants = tuple(w for w in garden.wants if w.crop == want.crop)
            safety = self._book.safety if own.safety is None else own.safety
            crops: dict[str, Crop] = {crop.key: crop for crop in self._book.crops}
            other = book_of(replace(garden, wants=wants), crops, safety)
            mine, others = ([s.name for s in b.instance.spots] for b in (self._book, other))
            same = mine == others and other.origin == self._book.origin
            self._tried[key] = other if same else None
        return self._tried[key]


def owns_of(book: Book, want: WantPeriod) -> Iterator[Own]:
    """Yield what the garden file says that may stand in a want's way, each with the rest of it."""
    garden = book.garden
    yield from _of_want(garden, want.want)
    season = garden.season
    if season.sow_on and another_weekday(season.sow_on, season.never_on) is not None:
        days = tuple(day for day in range(7) if day not in season.never_on)
        names = listed([WEEKDAYS[day] for day in season.sow_on])
        words = f"you sow on {names} only (sow_on)"
        yield Own("sowing days", words, replace(garden, season=replace(season, sow_on=days)))
    if season.harvest_on:
        names = listed([WEEKDAYS[day] for day in season.harvest_on])
        words = f"you harvest on {names} only (harvest_on)"
        yield Own("harvest days", words, replace(garden, season=replace(season, harvest_on=())))
    if season.never_on:
        names = listed([WEEKDAYS[day] for day in season.never_on])
        words = f"nothing is done on {names} (never_on)"
        yield Own("days off", words, replace(garden, season=replace(season, never_on=())))
    if garden.climate.frost_risk < USUAL_RISK:
        risk = f"{100 * garden.climate.frost_risk:g} %"
        words = f"you risk a frost in {risk} of years only (frost_risk)"
        climate = replace(garden.climate, frost_risk=USUAL_RISK)
        yield Own("frost risk", words, replace(garden, climate=climate))
    if book.safety > 0.5:
        yield Own("late years", f"you plan for a late year (--safety {book.safety:g})", garden, 0.5)


def _of_want(garden: Garden, number: int) -> Iterator[Own]:
    """Yield what one [[want]] says of places, raising and the size of a sowing."""
    want = garden.wants[number]

    def without(**said: object) -> Garden:
        wants = list(garden.wants)
        wants[number] = replace(want, **said)
        return replace(garden, wants=tuple(wants))

    if want.places:
        yield Own("its places", _places(garden, want), without(places=()))
    if want.raising is not None:
        words = f'{_RAISED[want.raising]} (sow = "{want.raising}")'
        yield Own("its raising", words, without(raising=None))
    if want.sow_at_least > 1:
        words = f"you sow no fewer than {want.sow_at_least} at a time (sow_at_least)"
        yield Own("small sowings", words, without(sow_at_least=1), then="fewer")


def _places(garden: Garden, want: Want) -> str:
    """Return where a want may grow, or where not, whichever is shorter to say."""
    names = [place.name for place in garden.places]
    others = [name for name in names if name not in want.places]
    if len(others) < len(want.places):
        return f"you keep it out of {_few(others)} (not_in)"
    return f"you grow it in {_few(list(want.places))} only (in)"


def _few(names: list[str]) -> str:
    return listed(names) if len(names) <= NAMES_TOLD else f"{len(names)} places"


def _case(book: Book, key: str) -> int:
    return [crop.key for crop in book.crops].index(key)


def _sown(book: Book, key: str, option: int) -> str:
    day = book.day(int(book.instance.crops[_case(book, key)].options.sow[option]))
    return f"{WEEKDAYS[day.weekday()][:3]} {day_words(day)}"


def _fit(other: Book, key: str, first: int, last: int, book: Book) -> list[int]:
    """Return the free options fit on some days, those that stand for the shortest time first."""
    options = other.instance.crops[_case(other, key)].options
    fits = (options.lot_ready <= last) & (options.lot_expiry >= first)
    fits &= options.fixed[options.lot_option] < 0
    able = np.unique(options.lot_option[fits])
    able = able[options.sow[able] >= book.instance.gone]
    stay = (options.clear - options.into)[able]
    return able[np.argsort(stay, kind="stable")].tolist()


def _place_for(
    other: Book, standing: Standing, crop: int, want: WantPeriod, option: int, needed: float
) -> tuple[int, int] | None:
    """Return how many plants of an option, and where, serve what is missing; None without room."""
    case = other.instance.crops[_case(other, want.crop)]
    options, group = case.options, int(case.options.group[option])
    room = case.room.get(group)
    here = options.lot_option == option
    here &= (options.lot_ready <= other.index(want.end)) & (
        options.lot_expiry >= other.index(want.start)
    )
    share = float(options.lot_share[here].sum())
    if room is None or share <= 0.0:
        return None
    plants = max(case.least[option], int(np.ceil(needed / share - 1e-6)))
    if plants >= len(room) or not _raised(other, standing, case, option, plants):
        return None
    into, clear = int(options.into[option]), int(options.clear[option])
    each = case.units[group][1]
    for spot in other.instance.spots_of[group]:
        whole = other.instance.spots[spot].whole
        most = standing.rooms[spot].most(into, clear, each, whole)
        if room[plants] <= most and standing.rotates(spot, crop, into, clear):
            return plants, spot
    return None


def _raised(other: Book, standing: Standing, case, option: int, plants: int) -> bool:
    """Return whether there are cells and hours for a sowing beside the finished season."""
    options, instance = case.options, other.instance
    tray, into = int(options.tray[option]), int(options.into[option])
    if tray >= 0 and case.cells(plants) > standing.cells_free(tray, int(options.sow[option]), into):
        return False
    if instance.week_minutes is None:
        return True
    more: dict[int, float] = {}
    for day, a_plant, begin in case.jobs(option):
        if day >= 0:
            week = instance.week(day)
            more[week] = more.get(week, 0.0) + a_plant * plants + begin
    most = instance.week_minutes + 1e-6
    return all(standing.load.get(week, 0.0) + some <= most for week, some in more.items())
