"""``sowplan when``: one crop through the year, as a table, a picture or numbers."""

from sowplan.commands.when.command import when

__all__ = ["when"]
