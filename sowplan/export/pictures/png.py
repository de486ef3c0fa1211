"""A picture as PNG, where the library for it is installed."""

from __future__ import annotations

from pathlib import Path
from struct import pack
from zlib import crc32

from sowplan.export.pictures.lettering import FILES, legible
from sowplan.export.pictures.style import FAMILY

TALL = 2400.0  # px; a picture of many beds is large enough without enlargement


HEAD = 33
"""Bytes of a PNG before its second piece: its signature, and the piece that tells its size."""


def _piece(kind: bytes, data: bytes) -> bytes:
    """Return a piece of a PNG: length, kind, data, check sum (ISO/IEC 15948, section 5.3)."""
    return pack(">I", len(data)) + kind + data + pack(">I", crc32(kind + data))


MARK = _piece(b"tEXt", b"Software\0sowplan")
"""By which a PNG of ours is known: the program that made it (ISO/IEC 15948, section 11.3.4)."""


def is_ours(path: Path) -> bool:
    """Return whether a file is a PNG made here; one that cannot be read is not."""
    try:
        with path.open("rb") as file:
            return file.read(HEAD + len(MARK))[HEAD:] == MARK
    except OSError:
        return False


def can_rasterise() -> bool:
    """Return whether the library for PNG (resvg-py) is installed."""
    from importlib.util import find_spec

    return find_spec("resvg_py") is not None


def enlarged(picture: str) -> bytes:
    """Return a picture as PNG for a screen: half as large again, unless it is long already."""
    tall = float(picture.split('height="', 1)[1].split('"', 1)[0])
    return to_png(picture, 1.5 if tall < TALL else 1.0)


def to_png(picture: str, zoom: float = 1.5) -> bytes:
    """Return an SVG as PNG, lettered in the shipped font only.

    Parameters
    ----------
    picture : str
        An SVG document.
    zoom : float
        Pixels of the PNG a pixel of the picture.

    Returns
    -------
    bytes
        The PNG; the same bytes each time for one version of the library.

    Raises
    ------
    ImportError
        Where resvg-py is not installed.
    """
    import resvg_py

    made = bytes(
        resvg_py.svg_to_bytes(
            svg_string=legible(picture),
            zoom=zoom,
            skip_system_fonts=True,
            font_files=[str(file) for file in FILES.values()],
            font_family=FAMILY,
            sans_serif_family=FAMILY,
        )
    )
    return made[:HEAD] + MARK + made[HEAD:]
