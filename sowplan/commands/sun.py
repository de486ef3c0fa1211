"""``sowplan sun``: hours of direct sun on each bed, month by month."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sowplan.commands.named import garden_at, leave, thing_meant
from sowplan.problem import Exit

if TYPE_CHECKING:
    from sowplan.records.crop import Crop
    from sowplan.records.garden import Bed, Garden
    from sowplan.site.shade import DirectSun

_NAME = 18  # width of the column of names


@dataclass(frozen=True)
class _Lit:
    """Beds that stand in the same light, and the sun they get."""

    beds: tuple[Bed, ...]
    sun: DirectSun

    @property
    def name(self) -> str:
        first, *others = (bed.name for bed in self.beds)
        return first if not others else f"{first} and {len(others)} more"

    @property
    def short_name(self) -> str:
        more = f" +{len(self.beds) - 1}" if len(self.beds) > 1 else ""
        room = _NAME - 1 - len(more)
        first = self.beds[0].name
        return (first if len(first) <= room else first[: room - 1] + "…") + more


def sun(
    garden: Annotated[Path, typer.Argument(help="The garden file.")],
    bed: Annotated[
        str | None, typer.Option(help="Only this bed, by its name; needed for a picture.")
    ] = None,
    picture: Annotated[
        Path | None, typer.Option(help="Draw the sun's way over the bed: FILE.svg or FILE.png.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON.")] = False,
) -> None:
    """Show how many hours of direct sun each bed gets in the middle of each month.

    Walls and trees are the beds' obstacles, hills the site's horizon, as the garden file gives
    them; the sky is taken as clear. Beds that get less than six hours in the season, and wanted
    crops that need more than any place gets, are named.

    For example:

      sowplan sun garden.toml

      sowplan sun garden.toml --bed "Wall box" --picture wall-box.svg
    """
    known, here = garden_at(garden)
    beds = _chosen(here, bed)
    lit = _alike(here, beds)
    if picture is not None:
        _draw(here, beds, picture)
    everywhere = _alike(here, _outdoors(here))
    warnings = [*_short_beds(here, lit), *_dark_wants(here, known, everywhere)]
    if as_json:
        typer.echo(json.dumps(_plain(lit, warnings), ensure_ascii=False, indent=2))
        return
    _print(here, lit)
    for words in warnings:
        typer.echo("\n" + words)


def _chosen(garden: Garden, name: str | None) -> tuple[Bed, ...]:
    """Return the beds asked for, of those outdoors; leave where there is none."""
    if not garden.beds:
        leave(f"{garden.file} has no bed.", Exit.IMPOSSIBLE)
    if not _outdoors(garden):
        leave(f"All beds of {garden.file} stand indoors, out of the sun.", Exit.IMPOSSIBLE)
    if name is None:
        return _outdoors(garden)
    found = thing_meant(name, garden.beds, "bed", "--bed")
    if found.indoors is not None:
        leave(f"{found.name} stands indoors, out of the sun.", Exit.IMPOSSIBLE)
    return (found,)


def _outdoors(garden: Garden) -> tuple[Bed, ...]:
    return tuple(bed for bed in garden.beds if bed.indoors is None)


def _alike(garden: Garden, beds: Iterable[Bed]) -> list[_Lit]:
    """Group the beds by what shades them."""
    from sowplan.site.shade import direct_sun

    groups: dict[tuple, list[Bed]] = {}
    for bed in beds:
        groups.setdefault(bed.obstacles, []).append(bed)
    return [_Lit(tuple(b), direct_sun(garden.site, shade)) for shade, b in groups.items()]


def _months(garden: Garden) -> list[int]:
    """Return the months the season touches, 1 to 12, in order of the calendar."""
    from datetime import timedelta

    season = garden.season
    days = range((season.end - season.start).days + 1)
    return sorted({(season.start + timedelta(days=d)).month for d in days})


def _short_beds(garden: Garden, lit: list[_Lit]) -> list[str]:
    from sowplan.site.shade import WANTED_HOURS, short_of_sun

    said = (short_of_sun(group.name, group.sun, _months(garden), WANTED_HOURS) for group in lit)
    return [words for words in said if words]


def _dark_wants(garden: Garden, crops: dict[str, Crop], lit: list[_Lit]) -> list[str]:
    """Name wanted crops that need more sun than the sunniest bed gets in the months wanted.

    None where something stands indoors, which has light of its own.
    """
    from datetime import timedelta

    from sowplan.site.shade import direct_sun

    if any(p.indoors is not None for p in garden.places):
        return []
    suns = [group.sun for group in lit]
    if garden.channels or garden.pots:  # which have nothing but the hills around them
        suns.append(direct_sun(garden.site))
    said = []
    for key in dict.fromkeys(want.crop for want in garden.wants):
        crop = crops[key]
        months = set()
        for want in garden.wants:
            if want.crop == key:
                span = range((want.end - want.start).days + 1)
                months |= {(want.start + timedelta(days=d)).month for d in span}
        best = max(float(sun.hours[m - 1]) for sun in suns for m in months)
        if best < crop.sun_hours:
            said.append(
                f"{crop.name} needs {crop.sun_hours:g} hours of direct sun a day; the sunniest "
                f"place has at most {best:.1f} in the months it is wanted."
            )
    return said


def _print(garden: Garden, lit: list[_Lit]) -> None:
    """Print the table."""
    from sowplan.records.garden_file.values.months import MONTHS

    typer.echo(typer.style(f"Hours of direct sun a day at {garden.site.name}", bold=True))
    typer.echo(" " * _NAME + "".join(f"{m[:3]:>5}" for m in MONTHS))
    rows = [("in the open", lit[0].sun.open_hours)]
    rows += [(group.short_name, group.sun.hours) for group in lit]
    for name, hours in rows:
        typer.echo(f"{name:<{_NAME}}" + "".join(f"{h:>5.1f}" for h in hours))


def _plain(lit: list[_Lit], warnings: list[str]) -> dict[str, object]:
    return {
        "open_hours": [round(float(h), 2) for h in lit[0].sun.open_hours],
        "beds": [
            {
                "bed": bed.name,
                "hours": [round(float(h), 2) for h in group.sun.hours],
                "light_share": [round(float(s), 3) for s in group.sun.light_share],
            }
            for group in lit
            for bed in group.beds
        ],
        "warnings": warnings,
    }


def _draw(garden: Garden, beds: tuple[Bed, ...], picture: Path) -> None:
    """Write the picture of the one bed; leave where it cannot be written."""
    from sowplan.commands.picture_files import file_problems, write_picture
    from sowplan.commands.problems import stop_on
    from sowplan.export.pictures.sun_paths import sun_paths_svg

    if len(beds) > 1:
        raise typer.BadParameter("A picture is of one bed: name it with --bed.")
    stop_on(file_problems(picture, None))
    write_picture(picture, sun_paths_svg(garden.site, beds[0].obstacles, beds[0].name))
