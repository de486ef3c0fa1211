"""A picture as PNG, where the library for it is installed."""

from __future__ import annotations

from sowplan.export.pictures.lettering import FILES, legible
from sowplan.export.pictures.style import FAMILY

TALL = 2400.0  # px; a picture of many beds is large enough without enlargement


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

    return bytes(
        resvg_py.svg_to_bytes(
            svg_string=legible(picture),
            zoom=zoom,
            skip_system_fonts=True,
            font_files=[str(file) for file in FILES.values()],
            font_family=FAMILY,
            sans_serif_family=FAMILY,
        )
    )
