"""Which of the gardener's own words stand in a want's way: each key lifted by itself, and tried.

A season's reasons are cold, heat, room; but where sowing on another weekday, in another bed or
fewer at a time would have served the days that go short, the garden file itself is the reason, and
the gardener can change it with a stroke. Where no key alone is the reason, several may be together:
all are lifted, then each put back that is not needed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

import numpy as np

from sowplan.growth.reasons import day_words
from sowplan.records.crop import Crop
from sowplan.records.garden import Garden, Want
from sowplan.season.choices.book import Book
from sowplan.season.choices.candidates import book_of
from sowplan.season.choices.instance import Ints
from sowplan.season.days import planting_days
from sowplan.season.plan import WantPeriod, labelled
from sowplan.season.reasons.limits import WEEKDAYS, another_weekday
from sowplan.season.reasons.trials import Found, as_it_stands, first_found, plants_for
from sowplan.season.search.standing import Standing
from sowplan.season.words import listed

USUAL_RISK = 0.10
"""The share of years with a frost that a garden file takes where it says nothing."""
NAMES_TOLD = 3
"""More places than so many are told by their number."""
WORDS_TOLD = 3
"""More words than so many that bind only together are no reason a gardener can do much with."""

_RAISED = {
    "direct": "you sow it direct only",
    "in trays": "you raise it in trays only",
    "bought plants": "you buy its plants",
}


@dataclass(frozen=True)
class Own:
    """A key of the garden file: a word or two for it, what it says, and a garden without it.

    ``then`` is what would come in time without it. What is not told ``alone`` has a reason of its
    own that says more.
    """

    label: str
    words: str
    lift: Callable[[Garden], Garden] = field(compare=False)
    safety: float | None = None
    then: str = "what is"
    alone: bool = True


class Owns:
    """The gardener's own words about the crops of a book, each tried once."""

    def __init__(self, book: Book):
        self._book = book
        self._tried: dict[tuple, Book | None] = {}
        self._unrested: tuple[Standing, Standing] | None = None

    def shut_out(self, run: Sequence[WantPeriod]) -> str:
        """Return what shuts out every sowing that could serve some days; empty where none does.

        Parameters
        ----------
        run : sequence of WantPeriod
            Neighbouring periods that no sowing of the season can serve. A word is named where,
            without it, most of them could be served.
        """
        book, want = self._book, run[0]

        def told(other: Book) -> str:
            fit = [_fit(other, w.crop, book.index(w.start), book.index(w.end), book) for w in run]
            first = next((options[0] for options in fit if len(options)), None)
            if first is None or 2 * sum(len(options) > 0 for options in fit) <= len(run):
                return ""
            return f"sown on {_sown(other, want.crop, first, book)} would come in time"

        return self._binding(want, told, lambda own, found: f"{own.words}; {own.then} {found}")

    def crowded_out(self, standing: Standing, crop: int, want: WantPeriod, needed: float) -> str:
        """Return which words leave a period without room; empty where none do.

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

        def told(other: Book) -> str:
            fit = _fit(other, want.crop, book.index(want.start), book.index(want.end), book)
            found = _place_for(other, self._rested(standing, other), crop, want, fit, needed)
            if found is None:
                return ""
            name = other.instance.spots[found.spot].name
            sown = _sown(other, want.crop, found.option, book)
            return f"{found.plants} sown on {sown} would find room in {name}"

        return self._binding(want, told, lambda own, found: f"{own.words}; but for that, {found}")

    def _binding(
        self, want: WantPeriod, told: Callable[[Book], str], alone: Callable[[Own, str], str]
    ) -> str:
        """Return the words that bind, one or several together; empty where it is none of them.

        ``told`` says what a garden without some of them has to offer, if anything.
        """
        owns = tuple(owns_of(self._book, want))

        def offered(lifted: tuple[Own, ...]) -> str:
            other = self._without(lifted, want)
            return "" if other is None else told(other)

        if not owns or not offered(owns):
            return ""
        for own in owns:
            found = offered((own,))
            if found:
                return labelled(own.label, alone(own, found)) if own.alone else ""
        needed = owns
        for own in owns:
            fewer = tuple(other for other in needed if other is not own)
            if offered(fewer):
                needed = fewer
        if len(needed) > WORDS_TOLD:
            return ""
        count = {2: "two", 3: "three"}[len(needed)]
        without = "both" if len(needed) == 2 else "all three"
        then = next((own.then for own in needed if own.then != Own.then), Own.then)
        found = offered(needed)
        found = found if found[0].isdigit() else f"{then} {found}"
        words = f"{listed([own.words for own in needed])}; without {without}, {found}"
        return labelled(f"{count} of your rules", words)

    def _without(self, lifted: tuple[Own, ...], want: WantPeriod) -> Book | None:
        """Return the book of the garden without some words, with nothing wanted but its crop."""
        key = tuple(own.words for own in lifted), want.crop, want.want
        if key not in self._tried:
            garden = self._book.garden
            for own in lifted:
                garden = own.lift(garden)
            wants = tuple(w for w in garden.wants if w.crop == want.crop)
            said = [own.safety for own in lifted if own.safety is not None]
            crops = {crop.key: crop for crop in self._book.crops}
            if garden.rests != self._book.garden.rests:
                crops = {key: _by_the_table(crop) for key, crop in crops.items()}
            safety = said[0] if said else self._book.safety
            other = book_of(replace(garden, wants=wants), crops, safety)
            mine, others = ([s.name for s in b.instance.spots] for b in (self._book, other))
            same = mine == others and other.origin == self._book.origin
            self._tried[key] = other if same else None
        return self._tried[key]

    def _rested(self, standing: Standing, other: Book) -> Standing:
        """Return the finished season with the rests that a garden without some words has."""
        if other.garden.rests == self._book.garden.rests:
            return standing
        if self._unrested is None or self._unrested[0] is not standing:
            cases = zip(self._book.crops, standing.instance.crops, strict=True)
            usual = (
                replace(case, gap_days=_by_the_table(crop).rotation_gap_days)
                for crop, case in cases
            )
            instance = replace(standing.instance, crops=tuple(usual))
            self._unrested = standing, as_it_stands(standing, instance)
        return self._unrested[1]


def _by_the_table(crop: Crop) -> Crop:
    """Return a crop that rests as the crop table has it, whatever the garden file says."""
    usual = crop.table_gap_months
    return crop if usual is None else replace(crop, rotation_gap_months=usual)


def owns_of(book: Book, want: WantPeriod) -> Iterator[Own]:
    """Yield what the garden file says that may stand in a want's way, each with the rest of it.

    Days on which nothing is done come before those to sow on, which are lifted to all the others.
    """
    garden, season = book.garden, book.garden.season
    yield from _of_want(garden, want.want)
    if season.away:
        spans = listed([f"{day_words(a)} to {day_words(b)}" for a, b in season.away])
        yield Own("days away", f"nobody is there from {spans} (away)", _season(away=()))
    if season.never_on:
        words = f"nothing is done on {_weekdays(season.never_on)} (never_on)"
        yield Own("days off", words, _season(never_on=()))
    if season.sow_on and another_weekday(season.sow_on) is not None:
        words = f"you sow and plant out on {_weekdays(season.sow_on)} only (sow_on)"
        yield Own("sowing days", words, _any_day)
    if season.harvest_on:
        words = f"you harvest on {_weekdays(season.harvest_on)} only (harvest_on)"
        yield Own("harvest days", words, _season(harvest_on=()))
    mine = next(crop for crop in book.crops if crop.key == want.crop)
    if mine.table_gap_months is not None and mine.rotation_gap_months > mine.table_gap_months:
        words = f"you rest {mine.family} for {mine.rotation_gap_months:g} months ([[rotation]])"
        yield Own("rotation", words, _as_in_the_table, alone=False)
    if season.hours_a_week is not None:
        words = f"you work {season.hours_a_week:g} hours a week at most (hours_a_week)"
        yield Own("too little time", words, _season(hours_a_week=None), alone=False)
    if garden.climate.frost_risk < USUAL_RISK:
        risk = f"{100 * garden.climate.frost_risk:g} %"
        words = f"you risk a frost in {risk} of years only (frost_risk)"
        yield Own("frost risk", words, _usual_risk)
    if book.safety > 0.5:
        words = f"you plan for a late year (--safety {book.safety:g})"
        yield Own("late years", words, lambda garden: garden, 0.5)


def _season(**said: object) -> Callable[[Garden], Garden]:
    """Return what makes a garden's season say something else."""
    return lambda garden: replace(garden, season=replace(garden.season, **said))


def _any_day(garden: Garden) -> Garden:
    days = tuple(day for day in range(7) if day not in garden.season.never_on)
    return replace(garden, season=replace(garden.season, sow_on=days))


def _as_in_the_table(garden: Garden) -> Garden:
    return replace(garden, rests=())


def _usual_risk(garden: Garden) -> Garden:
    return replace(garden, climate=replace(garden.climate, frost_risk=USUAL_RISK))


def _weekdays(days: Sequence[int]) -> str:
    return listed([WEEKDAYS[day] for day in days])


def _of_want(garden: Garden, number: int) -> Iterator[Own]:
    """Yield what one [[want]] says of places, raising and the size of a sowing."""
    want = garden.wants[number]

    def without(**said: object) -> Callable[[Garden], Garden]:
        def lift(garden: Garden) -> Garden:
            wants = list(garden.wants)
            wants[number] = replace(wants[number], **said)
            return replace(garden, wants=tuple(wants))

        return lift

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


def _sown(other: Book, key: str, option: int, book: Book) -> str:
    """Return when a sowing of a garden with other words is made.

    Where that is a day on which the gardener sows as it is, and it is planted out on one that is
    none, that day is what counts, and told too; or that on which it is fit, where that is a weekday
    without harvest.
    """
    options = other.instance.crops[_case(other, key)].options
    sow, out = int(options.sow[option]), int(options.into[option])
    told = _weekday(other.day(sow))
    series = book.sky.series
    days = planting_days(book.garden.season, series.start, len(series))
    new = days is not None and options.tray[option] >= 0 and not days[out]
    way, _ = other.course(options.course[option])
    if sow not in book.open_to(way, book.sow_days):
        return told
    if new:
        return f"{told} and planted out on {_weekday(other.day(out))}"
    fit = other.day(int(options.lot_ready[options.lot_option == option].min()))
    idle, only = book.garden.season.never_on, book.garden.season.harvest_on
    barred = fit.weekday() in idle or (only and fit.weekday() not in only)
    return f"{told} and fit on {_weekday(fit)}" if barred else told


def _weekday(day: date) -> str:
    return f"{WEEKDAYS[day.weekday()][:3]} {day_words(day)}"


def _fit(other: Book, key: str, first: int, last: int, book: Book) -> Ints:
    """Return the free options fit on some days, those that stand for the shortest time first."""
    options = other.instance.crops[_case(other, key)].options
    fits = (options.lot_ready <= last) & (options.lot_expiry >= first)
    fits &= options.fixed[options.lot_option] < 0
    able = np.unique(options.lot_option[fits])
    able = able[options.sow[able] >= book.instance.gone]
    stay = (options.clear - options.into)[able]
    return able[np.argsort(stay, kind="stable")]


def _place_for(
    other: Book, standing: Standing, crop: int, want: WantPeriod, able: Ints, needed: float
) -> Found | None:
    """Return a sowing that serves what is missing, and where; None where there is no room."""
    case = other.instance.crops[_case(other, want.crop)]
    options = case.options
    here = options.lot_ready <= other.index(want.end)
    here &= options.lot_expiry >= other.index(want.start)
    plants = plants_for(case, here, able, needed, np.array(case.least, np.int64))
    return first_found(standing, other.instance, crop, case, able, plants)
