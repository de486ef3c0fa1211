"""The question ``sowplan fit`` is asked, read from its options into SI units."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sowplan.problem import Exit, Problem

if TYPE_CHECKING:
    from sowplan.bed.layout import Layout
    from sowplan.commands.fit_input import Shape
    from sowplan.records.crop import Crop
    from sowplan.records.garden import Garden


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

    @property
    def own_spacing(self) -> dict[str, float]:
        """The spacings asked for, by the names a need has for them."""
        return {"spacing_m": self.spacing_m, "row_spacing_m": self.row_spacing_m}

    @property
    def rules(self) -> dict[str, Any]:
        """What stays the same while sizes and spacings are compared."""
        return {"edge_m": self.edge_m, "margin_m": self.margin_m, "keep_outs": self.keep_outs}

    def layout(self, **more: Any) -> Layout:
        """Return the best layout under the rules asked for."""
        from sowplan.bed.fit import fit as best

        if self.squares:
            from sowplan.bed.squares import fit_squares

            return fit_squares(self.shape.length_m, self.shape.width_m, self.spacing_m)

        return best(
            self.shape.length_m,
            self.shape.width_m,
            self.spacing_m,
            self.row_spacing_m,
            outline=self.shape.outline,
            **{**self.rules, **more},
        )

    def strip(self, number: int):
        """Return the whole rows across the bed that hold so many plants."""
        from sowplan.bed.strips import strip_for

        width = self.shape.width_m - 2 * self.margin_m
        return strip_for(width, self.spacing_m, self.row_spacing_m, number)


def read_question(
    crop: str,
    bed: str | None,
    garden: Path | None,
    place: str | None,
    spacing: str | None,
    row_spacing: str | None,
    edge: str | None,
    keep_out: list[str] | None,
    cut: str | None,
    rounded: str | None,
    picture: Path | None,
    ruler: Path | None,
    with_: list[str] | None,
    squares: bool,
) -> Question:
    """Read every option; show all that is wrong, and leave, where anything is."""
    from sowplan.commands import fit_input as words
    from sowplan.commands.fit_blocks import read_with
    from sowplan.commands.fit_picture import file_problems
    from sowplan.commands.fit_places import crop_of, garden_of, place_of
    from sowplan.commands.problems import stop_on
    from sowplan.records.crop_table import read_crops

    reader = words.Asked()
    known, problems = read_crops()
    here: Garden | None = None
    if garden is not None:
        here, known = garden_of(garden)
    if (bed is None) == (garden is None):
        problems.append(
            _usage("--bed", bed or "", "Give either --bed with its sides, or --garden and --place.")
        )
    chosen = crop_of(crop, known)
    if isinstance(chosen, Problem):
        problems.append(chosen)
    shape = reader.read("--bed", bed, words.shape)
    if shape is not None and shape.outline is None:
        shape = reader.read("--rounded", rounded, lambda t: words.rounded(t, shape)) or shape
        shape = reader.read("--cut", cut, lambda t: words.cut(t, shape)) or shape
    in_row = reader.read("--spacing", spacing, words.spacing)
    between = reader.read("--row-spacing", row_spacing, words.spacing)
    clear = reader.read("--edge", edge, words.edge)
    things = [reader.read("--keep-out", text, words.keep_out) for text in keep_out or ()]
    others, wrong = read_with(with_ or [], known)
    problems += reader.problems + file_problems(picture, ruler) + wrong
    where = place_of(here, place) if here is not None else None
    if isinstance(where, Problem):
        problems.append(where)
    stop_on(problems)
    own = (chosen.spacing_cm / 100, chosen.row_spacing_cm / 100)
    first = in_row or own[0]
    second = between or (in_row or own[1])
    units = "imperial" if words.is_imperial(bed, spacing, row_spacing) else "metric"
    if here is not None:
        units = here.units
    title = f"{chosen.name}" if where is None else f"{chosen.name} in {where.name}"
    asked = Question(chosen, shape, first, second, clear, tuple(things), units, title)
    asked = replace(asked, others=tuple(others), known=known, squares=squares)
    if here is None:
        return asked
    asked = replace(asked, place=where.name, latitude=here.site.latitude)
    return _in_place(asked, where)


def _in_place(asked: Question, where: Any) -> Question:
    """Return what was asked, for a place of the garden file."""
    from sowplan.commands.fit_input import Shape
    from sowplan.commands.fit_places import channel_slots, pot_slots
    from sowplan.records.garden import Bed, Channel

    if isinstance(where, Bed):
        sides = Shape(where.length_m, where.width_m)
        return replace(asked, shape=sides, margin_m=where.edge_m, bearing_deg=where.bearing_deg)
    if isinstance(where, Channel):
        return replace(asked, slots=channel_slots(where, asked.spacing_m))
    return replace(asked, slots=pot_slots(where, asked.crop))


def _usage(option: str, text: str, message: str) -> Problem:
    return Problem("", None, option, text, message, Exit.USAGE)
