"""``sowplan fit``: how many plants of a crop a bed takes, and where each one stands."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from sowplan.problem import Exit, Problem, did_you_mean

if TYPE_CHECKING:
    from sowplan.bed.layout import Layout
    from sowplan.commands.fit_input import Shape
    from sowplan.records.crop import Crop
    from sowplan.records.garden import Bed, Garden


def fit(
    crop: Annotated[str, typer.Argument(help="A crop, by any of its names.")],
    bed: Annotated[
        str | None, typer.Option(help='Its inner sides, "2.4 m x 1.2 m"; a tub, "60 cm round".')
    ] = None,
    garden: Annotated[
        Path | None, typer.Option("--garden", "-g", help="A garden file, instead of --bed.")
    ] = None,
    place: Annotated[
        str | None, typer.Option(help="A bed, channel or pots of the garden file.")
    ] = None,
    spacing: Annotated[
        str | None, typer.Option(help="Between plants, in all directions; else the crop's own.")
    ] = None,
    row_spacing: Annotated[
        str | None, typer.Option(help="Between rows, where it differs from --spacing.")
    ] = None,
    edge: Annotated[
        str | None,
        typer.Option(help="From the sides to the outermost stems; else half a spacing. 0: on it."),
    ] = None,
    keep_out: Annotated[
        list[str] | None,
        typer.Option(help='In the way: "20 cm round at 15 cm, 15 cm". May be repeated.'),
    ] = None,
    cut: Annotated[
        str | None, typer.Option(help='An L: the corner left out, "1.2 m x 60 cm".')
    ] = None,
    rounded: Annotated[
        str | None, typer.Option(help='Rounded corners of a radius, or "ends".')
    ] = None,
    number: Annotated[
        int | None, typer.Option(min=1, help="How much of the bed so many plants take.")
    ] = None,
    compare: Annotated[
        bool, typer.Option("--compare", help="Other spacings, and a bed a little larger.")
    ] = False,
    picture: Annotated[
        Path | None, typer.Option(help="Draw the plan, to FILE.svg or FILE.png.")
    ] = None,
    ruler: Annotated[
        Path | None, typer.Option(help="Paper rulers with the marks, true to size, to FILE.svg.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
) -> None:
    """Say how many plants of a crop a bed takes, and where each one stands.

    Counts square rows, offset rows along and across the bed, rows drawn out to fill it, and for
    small beds layouts found by search; says which holds most, how to set it out, and the number
    that no layout can exceed.

    For example:

      sowplan fit butterhead --bed "2.4 m x 1.2 m"

      sowplan fit butterhead --bed "8 ft x 4 ft" --spacing "10 in" --compare

      sowplan fit spinach --bed "1.8 m x 90 cm" --keep-out "20 cm round at 15 cm, 15 cm"

      sowplan fit kale --garden garden.toml --place "Wall box" --picture wall-box.svg
    """
    asked = _read(
        crop, bed, garden, place, spacing, row_spacing, edge, keep_out, cut, rounded, picture, ruler
    )
    if asked.slots is not None:
        _say_slots(asked, as_json)
        return
    layout = asked.layout()
    strip = asked.strip(number) if number else None
    extra = _extra(asked, layout, strip, compare)
    if picture is not None:
        _write(picture, _plan(asked, layout))
    if ruler is not None:
        from sowplan.export.pictures.ruler import ruler_svg

        _write(ruler, ruler_svg(layout, asked.title, asked.units))
    if as_json:
        from sowplan.commands.fit_words import as_json as plain

        values = plain(layout, asked.crop.key, extra)
        typer.echo(json.dumps(values, ensure_ascii=False))
    else:
        for line in _told(asked, layout, strip, number, compare):
            typer.echo(line)
        for written in (picture, ruler):
            if written is not None:
                typer.echo(f"Written: {written}")
    if layout.plants == 0:
        raise typer.Exit(Exit.IMPOSSIBLE)


@dataclass(frozen=True)
class _Asked:
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

    @property
    def rules(self) -> dict[str, Any]:
        """What stays the same while sizes and spacings are compared."""
        return {"edge_m": self.edge_m, "margin_m": self.margin_m, "keep_outs": self.keep_outs}

    def layout(self, **more: Any) -> Layout:
        """Return the best layout under the rules asked for."""
        from sowplan.bed.fit import fit as best

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


def _read(
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
) -> _Asked:
    """Read every option; show all that is wrong, and leave, where anything is."""
    from sowplan.commands import fit_input as words
    from sowplan.commands.problems import stop_on
    from sowplan.records.crop_table import read_crops

    reader = words.Asked()
    known, problems = read_crops()
    here: Garden | None = None
    if garden is not None:
        here, known = _garden(garden)
    if (bed is None) == (garden is None):
        problems.append(
            _usage("--bed", bed or "", "Give either --bed with its sides, or --garden and --place.")
        )
    chosen = _crop(crop, known)
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
    problems += reader.problems + _file_problems(picture, ruler)
    where = _place(here, place) if here is not None else None
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
    asked = _Asked(chosen, shape, first, second, clear, tuple(things), units, title)
    return asked if where is None else _in_place(asked, where)


def _in_place(asked: _Asked, where: Any) -> _Asked:
    """Return what was asked, for a place of the garden file."""
    from sowplan.bed.slots import holes_per_plant, holes_used, plants_per_pot
    from sowplan.commands.fit_input import Shape
    from sowplan.records.garden import Bed, Channel

    if isinstance(where, Bed):
        bed: Bed = where
        return replace(
            asked,
            shape=Shape(bed.length_m, bed.width_m),
            margin_m=bed.edge_m,
            bearing_deg=bed.bearing_deg,
        )
    if isinstance(where, Channel):
        used = holes_used(where.holes, where.spacing_m, asked.spacing_m)
        each = holes_per_plant(where.spacing_m, asked.spacing_m)
        slots = {"place": where.name, "plants": len(used), "slots": list(used), "every": each}
        return replace(asked, slots=slots | {"kind": "channel", "of": where.holes})
    each = plants_per_pot(where.volume_l, asked.crop.pot_litres)
    slots = {"place": where.name, "plants": each * where.count, "each": each}
    return replace(asked, slots=slots | {"kind": "pot", "of": where.count})


def _extra(asked: _Asked, layout: Layout, strip: Any, compare: bool) -> dict[str, Any]:
    """Return what was asked beyond the layout, as plain values."""
    extra: dict[str, Any] = {}
    if strip is not None:
        extra["strip"] = {
            "plants": strip.plants,
            "rows": strip.rows,
            "per_row": list(strip.per_row),
            "pitch_m": strip.pitch_m,
            "length_m": strip.length_m,
        }
    if compare:
        from sowplan.bed.compare import at_spacings

        sides = (asked.shape.length_m, asked.shape.width_m)
        rules = asked.rules | {"outline": asked.shape.outline}
        choices = at_spacings(*sides, asked.spacing_m, asked.row_spacing_m, **rules)
        extra["comparison"] = [
            {
                "spacing_m": c.spacing_m,
                "row_spacing_m": c.row_spacing_m,
                "plants": c.layout.plants,
                "pattern": c.layout.pattern,
                "area_each_m2": c.area_each_m2,
            }
            for c in choices
        ]
    return extra


def _told(
    asked: _Asked, layout: Layout, strip: Any, number: int | None, compare: bool
) -> list[str]:
    """Return what is said to a person, line by line."""
    from sowplan.bed.marks import instructions
    from sowplan.commands import fit_words as words

    name, units = _in_sentence(asked.crop.name), asked.units
    first = words.sentence(layout, name, _bed_words(asked), units, asked.crop.plants_per_cell)
    lines = [typer.style(first, bold=True)]
    if layout.plants:
        area = asked.shape.length_m * asked.shape.width_m
        if asked.shape.outline is not None:
            area = asked.shape.outline.inner(0.0).area
        lines.append(words.pattern_line(layout, area, units))
        plain = ("square", "offset along length", "offset along width")
        if layout.pattern != "rows" and not asked.keep_outs and asked.shape.outline is None:
            counts = [(p, asked.layout(patterns=(p,)).plants) for p in plain]
            lines.append(words.others_line(counts))
    if strip is not None:
        lines += ["", _strip_line(asked, strip, number)]
    if layout.plants:
        lines += ["", typer.style("Setting out, from one corner", bold=True)]
        lines += [f"  {line}" for line in instructions(layout, units)]
    if asked.crop.support == "trellis" and layout.plants:
        lines += ["", "  It climbs: " + _poleward()]
    if compare:
        lines += ["", *_compared(asked, layout)]
    return lines


def _compared(asked: _Asked, layout: Layout) -> list[str]:
    from sowplan.bed.compare import at_sizes, at_spacings
    from sowplan.commands import fit_words as words

    sides = (asked.shape.length_m, asked.shape.width_m)
    rules = asked.rules | {"outline": asked.shape.outline}
    choices = at_spacings(*sides, asked.spacing_m, asked.row_spacing_m, **rules)
    lines = [typer.style("At other spacings", bold=True)]
    lines += words.comparison(choices, asked.units, asked.spacing_m)
    if asked.shape.outline is None:
        more = (0.1, 0.2) if asked.units == "metric" else (0.1524, 0.3048)
        larger = at_sizes(*sides, asked.spacing_m, asked.row_spacing_m, more, **asked.rules)
        lines += ["", typer.style("A larger bed", bold=True)]
        lines += words.sizes(larger, layout, asked.units)
    return lines


def _poleward() -> str:
    return (
        "give it a row along the side away from the midday sun (south in the southern "
        "hemisphere, north in the northern), where it shades nothing."
    )


def _strip_line(asked: _Asked, strip: Any, number: int | None) -> str:
    from sowplan.quantity import format_length

    if strip.plants == 0:
        return f"{number} plants: no row fits across the bed."
    length = format_length(strip.length_m, asked.units)
    odd, even = strip.per_row
    each = f"{odd}" if even in (0, odd) else f"{odd} and {even} in turn"
    rows = "1 row" if strip.rows == 1 else f"{strip.rows} rows"
    pitch = f", {format_length(strip.pitch_m, asked.units)} apart" if strip.rows > 1 else ""
    spare = asked.shape.length_m - 2 * asked.margin_m - strip.length_m
    room = "" if spare >= -1e-9 else ": more than the bed has"
    return (
        f"{number} plants take {length} of the bed's length{room}: {rows} across of {each}{pitch}"
        f" ({strip.plants} places)."
    )


def _in_sentence(name: str) -> str:
    """Return a crop's name as it stands within a sentence: proper names keep their capital."""
    head, *rest = name.split(" ", 1)
    return " ".join([head if head[1:] != head[1:].lower() else head.lower(), *rest])


def _bed_words(asked: _Asked) -> str:
    from sowplan.quantity import format_length

    a, b = (format_length(v, asked.units) for v in (asked.shape.length_m, asked.shape.width_m))
    if asked.shape.words == "round":
        return f"a round tub of {a}"
    return f"{asked.shape.words + ' ' if asked.shape.words else ''}{a} × {b}"


def _say_slots(asked: _Asked, as_json: bool) -> None:
    """Say how many plants a channel or set of pots takes."""
    slots = asked.slots
    assert slots is not None
    if as_json:
        typer.echo(json.dumps({"crop": asked.crop.key, **slots}, ensure_ascii=False))
    else:
        name = _in_sentence(asked.crop.name)
        fits = f"{slots['plants']} plants of {name} fit into {slots['place']}"
        if slots["kind"] == "channel":
            every = {1: "every hole", 2: "every second hole"}
            how = every.get(slots["every"], f"one hole in {slots['every']}")
            line = f"{fits}: {how} of {slots['of']}."
            if not asked.crop.channel:
                line += f" But {name} does not suit a nutrient-film channel."
        elif slots["each"]:
            line = f"{fits}: {slots['each']} a pot."
        else:
            line = (
                f"No plant of {name} fits into {slots['place']}: one needs "
                f"{asked.crop.pot_litres:g} l of growing mix."
            )
        typer.echo(line)
    if slots["plants"] == 0:
        raise typer.Exit(Exit.IMPOSSIBLE)


def _plan(asked: _Asked, layout: Layout) -> str:
    """Return the picture of the bed."""
    import numpy as np

    from sowplan.bed.things import Box
    from sowplan.commands.fit_words import PATTERN_WORDS, spacing_words
    from sowplan.export.pictures.bed_plan import BedView, Patch, bed_plan_svg

    turn = np.linspace(0.0, 2 * np.pi, 72, endpoint=False)
    things = [
        np.array([[0, 0], [t.length_m, 0], [t.length_m, t.width_m], [0, t.width_m]])
        + [t.x_m, t.y_m]
        if isinstance(t, Box)
        else np.column_stack([np.cos(turn), np.sin(turn)]) * t.radius_m + [t.x_m, t.y_m]
        for t in asked.keep_outs
    ]
    outline = None if asked.shape.outline is None else asked.shape.outline.corners()
    apart = spacing_words(layout, asked.units)
    spread = min(asked.crop.spread_cm / 100, 1.25 * min(layout.spacing_m, layout.row_spacing_m))
    what = "plants" if asked.crop.plants_per_cell == 1 else "clumps"
    view = BedView(
        title=asked.title,
        subtitle=f"{_bed_words(asked)}, {PATTERN_WORDS[layout.pattern].split(':')[0]}",
        length_m=layout.length_m,
        width_m=layout.width_m,
        patches=(Patch(what, layout.positions, spread, apart),),
        outline=outline,
        keep_outs=tuple(things),
        bearing_deg=asked.bearing_deg,
        units=asked.units,
    )
    return bed_plan_svg(view)


def _write(file: Path, picture: str) -> None:
    """Write a picture by what its file's name ends in."""
    from sowplan.export.pictures.png import to_png

    try:
        png = file.suffix.casefold() == ".png"
        file.write_bytes(to_png(picture) if png else picture.encode())
    except OSError as error:
        typer.echo(f"{file} cannot be written: {error.strerror}.", err=True)
        raise typer.Exit(Exit.UNWRITABLE) from None


def _file_problems(picture: Path | None, ruler: Path | None) -> list[Problem]:
    from sowplan.export.pictures.png import can_rasterise

    found = []
    if picture is not None and picture.suffix.casefold() not in (".svg", ".png"):
        found.append(_usage("--picture", str(picture), "A picture ends in .svg or .png."))
    elif picture is not None and picture.suffix.casefold() == ".png" and not can_rasterise():
        message = "PNG needs the extra 'png': pip install 'sowplan[png]'. An SVG needs nothing."
        found.append(_usage("--picture", str(picture), message))
    if ruler is not None and ruler.suffix.casefold() != ".svg":
        found.append(_usage("--ruler", str(ruler), "Rulers are drawn as SVG: end in .svg."))
    return found


def _usage(option: str, text: str, message: str) -> Problem:
    return Problem("", None, option, text, message, Exit.USAGE)


def _crop(name: str, known: dict[str, Crop]) -> Crop | Problem:
    from sowplan.records.crop_names import find_crop, matching_keys, suggest_crops

    one = find_crop(name, known)
    several = [] if one else matching_keys(name, known)
    if one is not None or len(several) == 1:
        return one or known[several[0]]
    if several:
        message = f"It may be any of: {', '.join(several)}. Give one of these."
    else:
        hint = suggest_crops(name, known) or " 'sowplan crops' lists them all."
        message = f"There is no such crop.{hint}"
    return Problem("", None, "crop", name, message)


def _garden(path: Path) -> tuple[Garden, dict[str, Crop]]:
    from sowplan.commands.problems import stop
    from sowplan.records.garden_file import read_garden

    reading = read_garden(path)
    if reading.garden is None:
        stop(reading.problems)
    return reading.garden, reading.crops


def _place(garden: Garden, name: str | None) -> Any:
    """Return the place of a name, or the garden's only one; else what is wrong."""
    places = (*garden.beds, *garden.channels, *garden.pots)
    names = [place.name for place in places]
    if name is None:
        if len(places) == 1:
            return places[0]
        return Problem("", None, "--place", "", f"Which place? There is {', '.join(names)}.")
    for place in places:
        if place.name.casefold() == name.casefold():
            return place
    hint = did_you_mean(name, names) or f" There is {', '.join(names)}."
    return Problem("", None, "--place", name, f"The garden has no such place.{hint}")
