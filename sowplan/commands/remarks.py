"""What in a garden file is right and yet may not be meant: said by ``check``, never in the way."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from sowplan.records.crop import Crop
from sowplan.records.garden import Garden, Units, Want


def remarks(garden: Garden, crops: Mapping[str, Crop]) -> list[str]:
    """Return sentences on what may not be meant, each with its place in the file.

    Parameters
    ----------
    garden : Garden
        Read and checked.
    crops : mapping of str to Crop
        The crops known, by key.
    """
    return [*_wanted_twice(garden, crops), *_while_away(garden, crops)]


def _wanted_twice(garden: Garden, crops: Mapping[str, Crop]) -> Iterator[str]:
    """One crop wanted by two tables over the same days, by design or by a slip."""
    for number, want in enumerate(garden.wants):
        for other in garden.wants[:number]:
            first, last = max(want.start, other.start), min(want.end, other.end)
            if want.crop == other.crop and first <= last:
                at = (other.where.line, want.where.line)
                lines = f" (lines {at[0]} and {at[1]})" if all(at) else ""
                name = crops[want.crop].name
                yield (
                    f"{name} is wanted twice from {first} to {last}{lines}: "
                    f"{_much(other, garden.units)} and {_much(want, garden.units)} are added up."
                )


def _much(want: Want, units: Units) -> str:
    from sowplan.supply.wording import amount_text, every_text

    periods = -(-((want.end - want.start).days + 1) // want.per_days)
    return f"{amount_text(want.amount, want.unit, units)} {every_text(want.per_days, periods)}"


def _while_away(garden: Garden, crops: Mapping[str, Crop]) -> Iterator[str]:
    """Wants and sowings that lie in days on which nobody is there."""
    for first, last in garden.season.away:
        for want in garden.wants:
            if first <= want.start and want.end <= last:
                yield (
                    f"{want.where.table}: nobody is there from {first} to {last}, so "
                    f"none of the {crops[want.crop].name} is planned for."
                )
        for sowing in garden.sowings:
            if first <= sowing.day <= last:
                yield (
                    f"{sowing.where.table}: nobody is there on {sowing.day}; somebody else has to "
                    f"sow the {crops[sowing.crop].name}."
                )
