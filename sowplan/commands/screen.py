"""Texts on the screen, in lines no wider than a plain terminal."""

from __future__ import annotations

import typer

from sowplan.quantity import wrapped

SCREEN = 80  # characters


def tell(text: str, indent: str = "", hanging: str | None = None) -> None:
    """Print a text, its lines begun with ``indent``, all but the first with ``hanging``."""
    for line in wrapped(text, SCREEN, indent, indent if hanging is None else hanging):
        typer.echo(line)
