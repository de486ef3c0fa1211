"""PNGs of a plan that stand in its folder: drawn anew with it, so that none shows another plan.

They are known by name and by the mark every PNG of ours carries; what lacks either is somebody
else's.
"""

from __future__ import annotations

import re
from pathlib import Path

from sowplan.export.pictures.png import can_rasterise, enlarged, is_ours
from sowplan.season.plan import Plan

NAME = re.compile(r"(season|harvest|beds|trays|water)(-dark)?(?:-[1-9]\d*)?\.png")


def pictures_there(folder: Path) -> dict[str, tuple[str, bool]]:
    """Return the PNGs of ours in a folder: by file name, which picture it is and whether dark."""
    found = {}
    for path in sorted(folder.glob("*.png")):
        told = NAME.fullmatch(path.name)
        if told and path.is_file() and not path.is_symlink() and is_ours(path):
            found[path.name] = (told[1], bool(told[2]))
    return found


def picture_files(plan: Plan, name: str, dark: bool, stem: str) -> dict[str, bytes]:
    """Return a picture as PNGs by file name.

    Parameters
    ----------
    plan : Plan
        A finished season.
    name : str
        ``"season"``, ``"harvest"``, ``"beds"``, ``"trays"`` or ``"water"``.
    dark : bool
        Light ink on dark paper.
    stem : str
        The file's name without its ending; of several it is followed by ``-1``, ``-2`` and so on.
    """
    from sowplan.export.pictures.parts import picture_parts

    parts = picture_parts(plan, name, dark)
    names = [f"{stem}-{n}.png" for n in range(1, len(parts) + 1)]
    names = names if len(parts) > 1 else [f"{stem}.png"]
    return {file: enlarged(part) for file, part in zip(names, parts, strict=True)}


def drawn_anew(plan: Plan, folder: Path) -> tuple[dict[str, bytes], set[str]]:
    """Return the pictures of a folder as a plan has them, and which of those there have to go.

    Of beds that became fewer there are fewer parts. A file of somebody else's that has the name of
    a part is not written over. Where PNGs cannot be made the old ones go, being of another plan.

    Parameters
    ----------
    plan : Plan
        The plan that comes into the folder.
    folder : Path
        There or not.
    """
    old = pictures_there(folder)
    made: dict[str, bytes] = {}
    if old and can_rasterise():
        for name, dark in dict.fromkeys(old.values()):
            made |= picture_files(plan, name, dark, name + ("-dark" if dark else ""))
    new = {name: data for name, data in made.items() if name in old or not (folder / name).exists()}
    return new, old.keys() - new.keys()
