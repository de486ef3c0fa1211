"""The shipped font: how wide a text runs, which letters it has, and where its files are."""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from pathlib import Path

from sowplan.export.pictures.style import LETTERS, TEXT

FONTS = Path(__file__).parents[1] / "fonts"
FILES = {False: FONTS / "SourceSans3-Regular.ttf", True: FONTS / "SourceSans3-Semibold.ttf"}
WITHIN = {400: FONTS / "letters-regular.woff", 600: FONTS / "letters-semibold.woff"}
"""Its Latin letters, small enough to be carried inside a picture, by weight."""
STAND_IN = "□"


@lru_cache(maxsize=2)
def _advances(bold: bool) -> dict[str, float]:
    """Return each character's advance as a share of the size."""
    from fontTools.ttLib import TTFont

    font = TTFont(FILES[bold], lazy=True)
    em, metrics = font["head"].unitsPerEm, font["hmtx"].metrics
    return {chr(code): metrics[name][0] / em for code, name in font.getBestCmap().items()}


@lru_cache(maxsize=4096)
def width(words: str, size: float = TEXT, bold: bool = False) -> float:
    """Return how wide a text runs in the shipped font [px], kerning left out.

    Parameters
    ----------
    words : str
        One line of text.
    size : float
        Font size [px].
    bold : bool
        Semibold instead of regular.

    Returns
    -------
    float
        Width [px]; letters the font lacks count as a square one.
    """
    advances = _advances(bold)
    return size * sum(advances.get(letter, 1.0) for letter in words)


def shorten(words: str, room: float, size: float = TEXT, bold: bool = False) -> str:
    """Return the text, cut with an ellipsis where it would run wider than ``room`` [px]."""
    if width(words, size, bold) <= room:
        return words
    cut = words
    while cut and width(cut.rstrip() + "…", size, bold) > room:
        cut = cut[:-1]
    return cut.rstrip() + "…" if cut else ""


@lru_cache(maxsize=1)
def letters_within() -> str:
    """Return the style rules that bring the letters along inside a picture that stands alone."""
    from base64 import b64encode

    return "".join(
        f"@font-face{{font-family:'{LETTERS}';font-weight:{weight};"
        f"src:url(data:font/woff;base64,{b64encode(file.read_bytes()).decode()})}}"
        for weight, file in WITHIN.items()
    )


def legible(words: str) -> str:
    """Return the text in letters that the shipped font has.

    A letter it lacks becomes its plain form without accents where that helps, else ``"□"``;
    joiners and other invisible marks fall away.
    """
    advances = _advances(False)
    if advances.keys() >= set(words) - {"\n"}:
        return words
    kept = []
    for letter in words:
        if letter in advances or letter == "\n":
            kept.append(letter)
        elif unicodedata.category(letter) in ("Cf", "Mn", "Cc"):
            continue
        else:
            plain = [c for c in unicodedata.normalize("NFKD", letter) if c in advances]
            kept.append("".join(plain) or STAND_IN)
    return "".join(kept)
