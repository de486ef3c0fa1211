"""The question ``sowplan fit`` is asked, read from its options into SI units."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sowplan.problem import Exit, Problem
from sowplan.quantity import FOOT_M

if TYPE_CHECKING:
    from sowplan.bed.layout import Layout
    from sowplan.commands.fit.input import Shape
    from sowplan.records.crop import Crop


MOST_PLANTS = 500_000
"""A field of 100 m by 50 m at 10 cm: beyond that, positions serve nobody."""


@dataclass(frozen=True)
class Question:
    """All that was asked, in SI units."""

    crop: Crop
    shape: Shape
    spacing_m: float
    row_spacing_m: float
    edge_m: float | None
    keep_outs: tuple[Any, ...]
    units: Any
    title: str
    margin_m: float = 0.0
    bearing_deg: float | None = None
    slots: dict[str, Any] | None = None
    place: str = ""
    latitude: float | None = None
    others: tuple[Any, ...] = ()
    known: dict[str, Crop] = field(default_factory=dict)
    squares: bool = False
    here: Any = None  # the garden, where one was given
    where: Any = None  # the place in it
    between: Any = None  # a crop, or `between.ANY`
    on: date | None = None
    trellis: bool = False

    @property
    def own_spacing(self) -> dict[str, float]:
        """The spacings asked for, by the names a need has for them."""
        return {"spacing_m": self.spacing_m, "row_spacing_m": self.row_spacing_m}

    @property
    def rules(self) -> dict[str, Any]:
        """What stays the same while sizes and spacings are compared."""
        return {"edge_m": self.edge_m, "margin_m": self.margin_m, "keep_outs": self.keep_outs}

    @property
    def side(self) -> Any:
        """The side the trellis stands on: poleward, or the far one where that is not known."""
        from sowplan.bed.trellis import poleward

        if self.latitude is None or self.bearing_deg is None:
            return "far"
        return poleward(self.bearing_deg, self.latitude)

    def filled(self, **more: Any) -> Layout:
        """Return the best layout of the whole bed, climbers or not."""
        return replace(self, trellis=False).layout(**more)

    def layout(self, **more: Any) -> Layout:
        """Return the best layout under the rules asked for."""
        from sowplan.bed.lean import fit_or_lean
        from sowplan.bed.strips import GAIN_WORTH

        best = partial(fit_or_lean, worth=GAIN_WORTH)
        if self.trellis:
            from sowplan.bed.trellis import on_trellis

            best = partial(on_trellis, side=self.side)
        if self.squares:
            from sowplan.bed.squares import fit_squares

            sides = (self.shape.length_m, self.shape.width_m)
            return fit_squares(*sides, self.spacing_m, self.square_m)

        return best(*self.sides, outline=self.shape.outline, **{**self.rules, **more})

    @property
    def sides(self) -> tuple[float, float, float, float]:
        """Length and width of the bed and the crop's two spacings [m], as all layouts take them."""
        return self.shape.length_m, self.shape.width_m, self.spacing_m, self.row_spacing_m

    def leans(self, layout: Layout) -> bool:
        """Return whether a layout of this question reaches out over the bed's sides."""
        return self.edge_m is None and layout.edge_m - self.margin_m < self.spacing_m / 2 - 1e-9

    @property
    def square_m(self) -> float:
        """Side of the squares of ``--squares``: a foot where lengths are in feet."""
        from sowplan.bed.squares import SIDE_M

        return FOOT_M if self.units == "imperial" else SIDE_M

    @property
    def paper(self) -> str:
        """The paper of rulers: as the garden file has it, else Letter where inches are used."""
        named = self.here.paper if self.here is not None else ""
        return named or ("letter" if self.units == "imperial" else "a4")

    def leaning(self) -> Layout | None:
        """Return what the bed takes of plants that lean out over its edge, if anything."""
        if self.squares:
            return None
        from sowplan.bed.lean import leaning

        return leaning(
            *self.sides,
            margin_m=self.margin_m,
            keep_outs=self.keep_outs,
            outline=self.shape.outline,
            step_m=0.0127 if self.units == "imperial" else 0.005,
        )

    def strip(self, number: int):
        """Return the rows across the bed or along it that hold so many plants."""
        from sowplan.bed.lean import leans_over
        from sowplan.bed.strips import is_long, strip_for

        width = self.shape.width_m - 2 * self.margin_m
        if leans_over(width, self.spacing_m):
            width = self.spacing_m
        long = is_long(self.shape.length_m, self.shape.width_m)
        return strip_for(width, self.spacing_m, self.row_spacing_m, number, long)


@dataclass(frozen=True)
class Options:
    """The options as they were typed; None or empty where they were not."""

    crop: str
    bed: str | None
    twice: bool  # given as argument and as option
    garden: Path | None
    place: str | None
    spacing: str | None
    row_spacing: str | None
    edge: str | None
    keep_out: tuple[str, ...]
    cut: str | None
    rounded: str | None
    with_: tuple[str, ...]
    squares: bool
    number: int | None
    between: str | None
    on: str | None
    trellis: bool | None
    picture: Path | None
    ruler: Path | None


def read_question(options: Options) -> Question:
    """Read every option; show all that is wrong, and leave, where anything is."""
    from sowplan.commands.fit import input as words
    from sowplan.commands.fit.blocks import read_with
    from sowplan.commands.named import crop_named, garden_at, thing_named
    from sowplan.commands.picture_files import file_problems
    from sowplan.commands.problems import stop_on
    from sowplan.records.crop_table import read_crops

    reader, where, here = words.Asked(), None, None
    known, problems = read_crops()
    if options.garden is not None:
        known, here = garden_at(options.garden)
        places = here.places if options.place is None else (*here.places, *here.trays)
        where = thing_named(options.place, places, "place", "--place")
    chosen = crop_named(options.crop, known)
    shape = _shape(reader, options)
    in_row = reader.read("--spacing", options.spacing, words.spacing)
    between = reader.read("--row-spacing", options.row_spacing, words.spacing)
    clear = reader.read("--edge", options.edge, words.edge)
    things = tuple(reader.read("--keep-out", text, words.keep_out) for text in options.keep_out)
    others, wrong = read_with(list(options.with_), known)
    quick, not_quick = words.read_between(options.between, known)
    on, not_on = words.read_on(options.on)
    wrong += not_quick + not_on
    problems += _clashes(options) + [one for one in (chosen, where) if isinstance(one, Problem)]
    stop_on(
        problems + reader.problems + file_problems(options.picture, options.ruler) + wrong,
    )
    first = in_row or chosen.spacing_cm / 100
    second = between or in_row or chosen.row_spacing_cm / 100
    imperial = words.is_imperial(options.bed, options.spacing, options.row_spacing)
    units = here.units if here is not None else "imperial" if imperial else "metric"
    asked = Question(chosen, shape, first, second, clear, things, units, chosen.name)
    asked = replace(asked, others=tuple(others), known=known, squares=options.squares)
    built = getattr(where, "trellis", "none") == "poleward" and chosen.support == "canes"
    climbs = options.trellis
    if climbs is None:
        climbs = chosen.support == "trellis" or built
    climbs = climbs and not (options.squares or options.with_)
    asked = replace(asked, between=quick, on=on, here=here, trellis=climbs)
    if here is not None:
        title = f"{chosen.name} in {where.name}"
        asked = replace(asked, title=title, place=where.name, latitude=here.site.latitude)
        asked = replace(asked, where=where)
        asked = _in_place(asked, where, options.number)
    stop_on(_too_many(asked, options) + _no_bed(asked, options))
    return asked


def _no_bed(asked: Question, options: Options) -> list[Problem]:
    """Return a problem where a catch crop or a trellis was asked for in a place without rows."""
    if asked.slots is None:
        return []
    message = f"{asked.place} has no rows to stand between: this is for beds."
    given = {"--between": options.between, "--trellis": "" if options.trellis else None}
    return [_usage(name, text, message) for name, text in given.items() if text is not None]


def _shape(reader: Any, options: Options) -> Shape | None:
    """Read the bed and what makes it no rectangle."""
    from sowplan.commands.fit import input as words

    shape = reader.read("--bed", options.bed, words.shape)
    if shape is None or shape.outline is not None:
        return shape
    units = "imperial" if words.is_imperial(options.bed) else "metric"
    way = partial(words.rounded, bed=shape, units=units)
    shape = reader.read("--rounded", options.rounded, way) or shape
    return reader.read("--cut", options.cut, lambda t: words.cut(t, shape)) or shape


def _clashes(options: Options) -> list[Problem]:
    """Return what does not go together."""
    found = []
    if options.twice:
        found.append(_usage("--bed", options.bed or "", "The bed is given twice: leave one out."))
    if (options.bed is None) == (options.garden is None):
        message = 'Give either the sides of a bed, "2.4 m x 1.2 m", or --garden and --place.'
        found.append(_usage("--bed", options.bed or "", message))
    odd = {"--cut": options.cut, "--rounded": options.rounded}
    for name, text in odd.items():
        if text is not None and options.garden is not None:
            found.append(_usage(name, text, "This shapes the bed of --bed, not one of a garden."))
    if options.cut is not None and options.rounded is not None:
        found.append(_usage("--cut", options.cut, "Give --cut or --rounded, not both."))
    shaped = {**odd, "--keep-out": next(iter(options.keep_out), None)}
    for name, text in shaped.items():
        if text is None:
            continue
        if options.squares:
            found.append(_usage(name, text, "--squares rules a plain rectangle: leave this out."))
        if options.with_:
            found.append(_usage(name, text, "--with needs a plain rectangle: leave this out."))
    if options.between is not None and (options.squares or options.with_):
        message = "A catch crop stands between one slow crop: leave --with and --squares out."
        found.append(_usage("--between", options.between, message))
    if options.on is not None and (options.between is None or options.garden is None):
        message = "This is the day the crop goes in: it needs --between, --garden and --place."
        found.append(_usage("--on", options.on, message))
    if options.trellis and (options.squares or options.with_):
        message = (
            "Whole squares have no trellis; among several crops climbers get the poleward side."
        )
        found.append(_usage("--trellis", "", message))
    if options.edge is not None and (options.squares or options.with_):
        message = "Whole squares and crops side by side keep half a spacing from the sides."
        found.append(_usage("--edge", options.edge, message))
    return found


def _too_many(asked: Question, options: Options) -> list[Problem]:
    """Return a problem where more plants would have to be placed than anyone could plant."""
    if asked.shape is None:
        return []
    area = asked.shape.length_m * asked.shape.width_m
    closest = min((asked.spacing_m * asked.row_spacing_m, *_areas(asked.others)))
    if area / closest <= MOST_PLANTS:
        return []
    message = f"That would be more than {MOST_PLANTS:,} plants: ask for a part of the bed."
    return [_usage("--bed", options.bed or asked.place, message)]


def _areas(needs: tuple[Any, ...]) -> list[float]:
    return [need.spacing_m * need.row_spacing_m for need in needs]


def _in_place(asked: Question, where: Any, number: int | None) -> Question:
    """Return what was asked, for a place of the garden file."""
    from sowplan.commands.fit.input import Shape
    from sowplan.commands.fit.places import channel_slots, pot_slots, tray_slots
    from sowplan.records.garden import Bed, Channel, Tray

    if isinstance(where, Bed):
        from sowplan.bed.as_built import keep_outs_of, outline_of, shape_words

        sides = Shape(where.length_m, where.width_m, outline_of(where), shape_words(where))
        things = (*keep_outs_of(where), *asked.keep_outs)
        asked = replace(asked, shape=sides, keep_outs=things)
        return replace(asked, margin_m=where.edge_m, bearing_deg=where.bearing_deg)
    if isinstance(where, Channel):
        return replace(asked, slots=channel_slots(where, asked.spacing_m))
    if isinstance(where, Tray):
        return replace(asked, slots=tray_slots(where, asked.crop, number))
    return replace(asked, slots=pot_slots(where, asked.crop))


def _usage(option: str, text: str, message: str) -> Problem:
    return Problem("", None, option, text, message, Exit.USAGE)
