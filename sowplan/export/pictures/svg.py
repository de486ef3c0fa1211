"""SVG written plainly: escaped text, numbers of fixed form, no library, the same bytes always."""

from __future__ import annotations

import re
from collections.abc import Iterable

from sowplan.export.pictures.lettering import letters_within
from sowplan.export.pictures.style import FONT, TEXT, Palette

_SPECIAL = re.compile(r'[&<>"\x00-\x1f\ud800-\udfff]')
_ESCAPES = {"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "\r": " ", "\n": " ", "\t": " "}


def escape(text: str) -> str:
    """Return text fit for element content and attributes; characters XML forbids are dropped."""
    return _SPECIAL.sub(lambda found: _ESCAPES.get(found[0], ""), text)


def number(value: float) -> str:
    """Return a coordinate: at most two decimals, no trailing zeros, never ``"-0"``."""
    text = f"{value:.2f}"
    if text[-1] == "0":  # a picture has ten thousands of them
        text = text[:-3] if text[-2] == "0" else text[:-1]
    return "0" if text == "-0" else text


def element(name: str, content: str | None = None, **attributes: object) -> str:
    """Return one element; ``content`` is markup already, so escape text before.

    In attribute names ``_`` becomes ``-`` and a trailing ``_`` falls away; None is left out.
    """
    parts = [name]
    for key, value in attributes.items():
        if value is None:
            continue
        key = key.rstrip("_").replace("_", "-")
        value = number(value) if isinstance(value, int | float) else escape(str(value))
        parts.append(f'{key}="{value}"')
    head = " ".join(parts)
    return f"<{head}/>" if content is None else f"<{head}>{content}</{name}>"


def rect(x: float, y: float, width: float, height: float, **attributes: object) -> str:
    """Return a rectangle; negative sizes become 0."""
    return element(
        "rect", None, x=x, y=y, width=max(width, 0.0), height=max(height, 0.0), **attributes
    )


def line(x1: float, y1: float, x2: float, y2: float, **attributes: object) -> str:
    """Return a straight line."""
    return element("line", None, x1=x1, y1=y1, x2=x2, y2=y2, **attributes)


def text(x: float, y: float, words: str, size: float = TEXT, **attributes: object) -> str:
    """Return a line of text, its baseline at ``y``."""
    size_given = None if size == TEXT else size
    return element("text", escape(words), x=x, y=y, font_size=size_given, **attributes)


def path(points: Iterable[tuple[float, float]], closed: bool = False, **attributes: object) -> str:
    """Return a polyline (or polygon) through points."""
    d = "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points) + ("Z" if closed else "")
    return element("path", None, d=d, **attributes)


def group(parts: Iterable[str], title: str = "", **attributes: object) -> str:
    """Return a group; its title shows under the pointer and is read out."""
    head = element("title", escape(title)) if title else ""
    return element("g", head + "".join(parts), **attributes)


def document(
    width: float,
    height: float,
    title: str,
    description: str,
    parts: Iterable[str],
    colours: Palette,
    defs: str = "",
    name: str = "p",
    bare: bool = False,
) -> str:
    """Return a whole picture.

    Parameters
    ----------
    width, height : float
        Size in px; also the view box.
    title, description : str
        For screen readers; ``name`` makes their ids.
    parts : iterable of str
        Markup.
    colours : Palette
        Ink is the default text colour; paper is laid under the picture unless ``bare``.
    defs : str
        Markup of ``<defs>``.
    name : str
        Unique among the pictures of one page.
    bare : bool
        For pictures inside a page or a print: no paper and no letters of their own.
    """
    ground = "" if bare else rect(0, 0, width, height, fill=colours.paper)
    inside = (
        element("title", escape(title), id=f"{name}-title")
        + element("desc", escape(description), id=f"{name}-desc")
        + ("" if bare else element("style", letters_within()))
        + (element("defs", defs) if defs else "")
        + ground
        + "".join(parts)
    )
    return element(
        "svg",
        inside,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {number(width)} {number(height)}",
        width=width,
        height=height,
        role="img",
        aria_labelledby=f"{name}-title {name}-desc",
        font_family=FONT,
        font_size=TEXT,
        fill=colours.ink,
    )
