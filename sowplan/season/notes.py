"""What a gardener should know of a plan beyond its dates."""

from __future__ import annotations

from sowplan.quantity.units import FOOT
from sowplan.records.garden import Bed, Channel
from sowplan.season.book import Book
from sowplan.season.model import Relaxation
from sowplan.season.plan import Plan
from sowplan.season.spaces import usable
from sowplan.season.standing import Standing
from sowplan.season.sun import months_of, sun_of, too_dark

LITTLE = 0.4
"""A want of which a smaller share comes is named at the head of the plan."""
WORTH_SAYING = 0.5
"""Gains of fewer want-weeks than this are not worth a gardener's time to read of."""


def notes_on(book: Book, standing: Standing, relaxation: Relaxation) -> tuple[str, ...]:
    """Return notes in full sentences: what was taken for granted, and what to keep an eye on."""
    notes = []
    if not book.garden.season.sow_on:
        notes.append("No sowing days are named in the garden file: sown on Saturdays.")
    notes += _dark(book, standing)
    notes += _shallow(book, standing)
    notes += _rotation(book, standing)
    if standing.score().missing > relaxation.bound + WORTH_SAYING:
        notes += _would_help(book, relaxation)
    return tuple(notes)


def _shallow(book: Book, standing: Standing) -> list[str]:
    """Name crops that root deeper than a bed they stand in."""
    found = set()
    for batch in standing.batches.values():
        place, crop = book.places[batch.spot], book.crops[batch.crop]
        # Roots make do with two thirds of what they would take (common practice, no source).
        if isinstance(place, Bed) and place.depth_m < crop.rooting_depth_m * 2 / 3:
            found.add(crop.name)
    if not found:
        return []
    them = "it" if len(found) == 1 else "them"
    return [
        f"{_listed(sorted(found))} would root deeper than the beds are filled: "
        f"water {them} more often."
    ]


def _dark(book: Book, standing: Standing) -> list[str]:
    """Name the places that get less direct sun than a crop in them wants."""
    sun = sun_of(book.garden, book.places)
    found: dict[str, set[str]] = {}
    for batch in standing.batches.values():
        place, crop = book.places[batch.spot], book.crops[batch.crop]
        if too_dark(sun.get(place.name), crop, months_of(book.garden, crop)):
            found.setdefault(place.name, set()).add(f"{crop.name} ({crop.sun_hours:g} hours a day)")
    return [
        f"{name} gets less direct sun than {_listed(sorted(crops))} would have, and no sunnier "
        "place was to be had: expect it later and less of it."
        for name, crops in found.items()
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


def _would_help(book: Book, relaxation: Relaxation) -> list[str]:
    """Say what more room or cells would bring, most useful first, by the relaxation's prices."""
    gains = []
    for group, spots in book.instance.spots_of.items():
        price = relaxation.plain_room[group]
        place = book.places[spots[0]]
        if isinstance(place, Bed):
            units = 1.0 / usable(place)[1] / book.unit_m
            # Ten square feet are about one square metre.
            ten = book.garden.units == "imperial"
            area = 10 * FOOT**2 if ten else 1.0
            said = f"{'10 sq ft' if ten else '1 m²'} more of a bed like {place.name}"
            gains.append((price * units * area, said))
        elif isinstance(place, Channel):
            gains.append((price * 5, f"5 more holes in a channel like {place.name}"))
        else:
            gains.append((price, f"one more pot like those of {place.name}"))
    for group, trays in book.instance.trays_of.items():
        price = relaxation.plain_cells[group]
        name = book.instance.trays[trays[0]].name
        gains.append((price * 10, f"10 more cells in a tray like {name}"))
    gains = sorted((g for g in gains if g[0] >= WORTH_SAYING), key=lambda g: (-g[0], g[1]))
    if not gains:
        return []
    said = "; ".join(f"{what}, about {_weeks(gain)}" for gain, what in gains[:3])
    return [
        f"What would bring more, most useful first, counted in weeks of one want (about): {said}."
    ]


def _weeks(gain: float) -> str:
    many = round(gain)
    return f"{gain:.1f} weeks" if gain < 3 else f"{many} weeks"


def scarce(plan: Plan) -> str | None:
    """Return a sentence naming the wants of which nothing or little comes; None if there are none.

    Those that nothing could serve are among them: the gardener waits for them all the same.
    """
    nothing, little = [], []
    for number in sorted({want.want for want in plan.wants}):
        mine = [want for want in plan.wants if want.want == number]
        share = sum(want.met / want.wanted for want in mine) / len(mine)
        name = plan.crop(mine[0].crop).name
        if share < 0.005:
            nothing.append(name)
        elif share < LITTLE:
            little.append(f"{name} ({share:.0%})".replace("%", " %"))
    parts = []
    if nothing:
        parts.append(f"Nothing comes of {_listed(list(dict.fromkeys(nothing)))}.")
    if little:
        parts.append(f"Little comes of {_listed(little)}.")
    return " ".join(parts) or None


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
