"""What a gardener should know of a plan beyond its dates."""

from __future__ import annotations

from sowplan.records.garden import Bed
from sowplan.season.book import Book
from sowplan.season.standing import Standing


def notes_on(book: Book, standing: Standing) -> tuple[str, ...]:
    """Return notes in full sentences: what was taken for granted, and what to keep an eye on."""
    notes = []
    if not book.garden.season.sow_on:
        notes.append("No sowing days are named in the garden file: sown on Saturdays.")
    notes += _shallow(book, standing)
    notes += _rotation(book, standing)
    return tuple(notes)


def _shallow(book: Book, standing: Standing) -> list[str]:
    """Name crops that root deeper than the bed they stand in."""
    found: dict[str, set[str]] = {}
    for batch in standing.batches.values():
        place, crop = book.places[batch.spot], book.crops[batch.crop]
        # Roots make do with two thirds of what they would take (common practice, no source).
        if isinstance(place, Bed) and place.depth_m < crop.rooting_depth_m * 2 / 3:
            found.setdefault(crop.name, set()).add(place.name)
    return [
        f"{name} roots deeper than {_listed(sorted(places))} is filled: water it more often there."
        for name, places in sorted(found.items())
    ]


def _rotation(book: Book, standing: Standing) -> list[str]:
    """Name fixed sowings that come back to a bed too early; the gardener's word stands."""
    notes = []
    for batch in standing.batches.values():
        if not batch.fixed:
            continue
        case, crop = book.instance.crops[batch.crop], book.crops[batch.crop]
        into = int(case.options.into[batch.option])
        for stay in book.instance.stays:
            if (
                stay.spot == batch.spot
                and stay.family == case.family
                and stay.until < into <= stay.until + case.gap_days
            ):
                notes.append(
                    f"{crop.name} follows its own family ({crop.family}) in "
                    f"{book.instance.spots[batch.spot].name} sooner than "
                    f"{crop.rotation_gap_months:g} months, as the garden file has it."
                )
    return notes


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
