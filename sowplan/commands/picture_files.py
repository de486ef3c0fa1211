"""Pictures written to files of the gardener's naming: their names looked at first, then written."""

from __future__ import annotations

from pathlib import Path

from sowplan.commands.plan_files import write_file
from sowplan.problem import Exit, Problem


def file_problems(
    picture: Path | None, ruler: Path | None, option: str = "--picture"
) -> list[Problem]:
    """Return what is wrong with the names of the files to be drawn; ``option`` names the first."""
    found = []
    if picture is not None and picture.suffix.casefold() not in (".svg", ".png"):
        found.append(_usage(option, picture, "A picture ends in .svg or .png."))
    elif picture is not None and picture.suffix.casefold() == ".png" and not _can_rasterise():
        message = "PNG needs the library resvg-py: pip install resvg-py. An SVG needs nothing."
        found.append(_usage(option, picture, message))
    if ruler is not None and ruler.suffix.casefold() not in (".svg", ".pdf"):
        found.append(_usage("--ruler", ruler, "Rulers end in .pdf or .svg."))
    return found


def _can_rasterise() -> bool:
    from sowplan.export.pictures.png import can_rasterise

    return can_rasterise()


def write_picture(file: Path, picture: str | bytes) -> None:
    """Write a picture by what its file's name ends in; leave where it cannot be written."""
    from sowplan.export.pictures.png import to_png

    if isinstance(picture, str):
        png = file.suffix.casefold() == ".png"
        picture = to_png(picture) if png else picture.encode()
    write_file(file, picture)


def _usage(option: str, file: Path, message: str) -> Problem:
    return Problem("", None, option, str(file), message, Exit.USAGE)
