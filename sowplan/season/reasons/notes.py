"""What a gardener should know of a plan beyond its dates."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from sowplan.growth.courses import SMALL_SIZE
from sowplan.growth.reasons import day_words
from sowplan.quantity import format_length
from sowplan.records.built import closed_slices
from sowplan.records.garden import Bed
from sowplan.records.garden_file.values.months import WEEKDAYS
from sowplan.season.choices.book import Book
from sowplan.season.choices.instance import Batch
from sowplan.season.choices.sun import months_of, sun_of, too_dark
from sowplan.season.days import sowing_weekdays
from sowplan.season.indoors import freezing, lamp_notes
from sowplan.season.plan import Plan
from sowplan.season.search.standing import Standing
from sowplan.season.search.turns import in_turn
from sowplan.season.words import listed

SOON_DAYS = 3
"""What runs to seed within fewer days of being fit is told. Common practice, no source."""
LITTLE = 0.4
"""A want of which a smaller share comes is named at the head of the plan."""
NOTHING = 0.005
"""A smaller share is told as nothing."""


def notes_on(book: Book, standing: Standing) -> tuple[str, ...]:
    """Return notes in full sentences: what was taken for granted, and what to keep an eye on."""
    notes = []
    if not book.garden.season.sow_on:
        (day,) = sowing_weekdays(book.garden.season)
        notes.append(f"No sowing days are named in the garden file: sown on {WEEKDAYS[day]}s.")
    notes += _away(book)
    notes += _closed(book)
    notes += _soon_over(book, standing)
    notes += _small_bulbs(book, standing)
    notes += lamp_notes(book, standing)
    notes += _freezing(book, standing)
    notes += _dark(book, standing)
    notes += _shallow(book, standing)
    notes += _rotation(book, standing)
    notes += _turns(book, standing)
    return tuple(notes)


def overgrown_notes(plan: Plan, today: date | None = None) -> tuple[str, ...]:
    """Name the crops that overgrow while nobody is there to bring them in, and give again after.

    Parameters
    ----------
    plan : Plan
        Any plan.
    today : date, optional
        What is past on this day is not told.
    """
    names = {crop.key: crop.name for crop in plan.crops}
    found = {
        names[p.crop]
        for p in plan.plantings
        for day in p.overgrown
        if (today is None or day >= today) and any(lot.ready > day for lot in p.lots)
    }
    if not found:
        return ()
    hint = ""
    if any(span not in plan.site.picked for span in plan.site.away):
        hint = ' Where somebody picks meanwhile, write "watered and picked" after the days.'
    return (
        f"While nobody is there to bring it in, {listed(sorted(found))} will overgrow: what comes "
        f"then is lost, and there is more some time after it is taken off.{hint}",
    )


def _away(book: Book) -> list[str]:
    """Say when nobody is there, or only somebody to water, and what that asks for."""
    season = book.garden.season
    picked = season.picked
    watered = [span for span in season.watered if span not in picked]
    nobody = [span for span in season.away if span not in season.watered]
    notes = []
    if nobody:
        notes.append(
            f"Nobody is there from {_spans(nobody)}: nothing is wanted, sown or planted out then, "
            "nor just before. Let somebody water, and look after what is in the trays."
        )
    for who, spans, grows in (
        ("waters", watered, ""),
        ("waters and picks", picked, ", and nothing overgrows"),
    ):
        if spans:
            notes.append(
                f"Somebody {who} from {_spans(spans)}: nothing is wanted, sown or planted out "
                f"then; what is in trays and just planted out keeps{grows}."
            )
    return notes


def _soon_over(book: Book, standing: Standing) -> list[str]:
    """Name the crops that run to seed almost as soon as they are fit, where sown as planned.

    They are counted on all the same: both days come sooner or later together, with the weather.
    """
    found = set()
    for batch in standing.batches.values():
        options, crop = book.instance.crops[batch.crop].options, book.crops[batch.crop]
        if options.course[batch.option] < 0 or crop.harvest == "pick":
            continue  # it stands already; or what ends it is that no more fruit sets
        way, row = book.course(options.course[batch.option])
        bolts = int(way.courses.bolts[row])
        soon = min(SOON_DAYS, crop.holding_days)
        young = crop.bolt_effect == "bolts" and way.courses.size[row] < SMALL_SIZE
        at_once = any(bolts - a < soon for a, _, _ in options.lots[batch.option])
        if bolts >= 0 and (young or at_once):
            found.add(crop.name)
    if not found:
        return []
    return [
        f"Some sowings of {listed(sorted(found))} run to seed within days of being fit: "
        "look at them every day then, and bring them in small rather than late."
    ]


def _small_bulbs(book: Book, standing: Standing) -> list[str]:
    """Name the bulbs that stay small, planted too late for their leaf or for the cold they need."""
    found: dict[str, list[float]] = {}
    for batch in standing.batches.values():
        options, crop = book.instance.crops[batch.crop].options, book.crops[batch.crop]
        if options.course[batch.option] >= 0 and crop.bolt_effect == "bulbs":
            way, row = book.course(options.course[batch.option])
            size = float(way.courses.size[row])
            if size < SMALL_SIZE:
                found.setdefault(crop.name, []).append(size)
    return [
        f"{name} planted late makes small bulbs: some {_percent(sizes)} % of the usual weight."
        for name, sizes in sorted(found.items())
    ]


def _percent(sizes: Sequence[float]) -> str:
    """Return ``"55 to 75"``, or one figure, to the nearest five."""
    low, high = (round(20 * size) * 5 for size in (min(sizes), max(sizes)))
    return f"{low}" if low == high else f"{low} to {high}"


def _spans(spans: Sequence[tuple[date, date]]) -> str:
    return listed([f"{day_words(first)} to {day_words(last)}" for first, last in spans])


def _closed(book: Book) -> list[str]:
    """Say which slices of a bed's length are left bare beside a pipe or a missing corner."""
    units, told = book.garden.units, {}
    for bed in book.garden.beds:
        slices = closed_slices(bed)
        if not slices:
            continue
        spans = [
            f"{format_length(a + bed.edge_m, units)} to {format_length(b + bed.edge_m, units)} "
            f"(beside {label})"
            for a, b, label in slices
        ]
        told.setdefault(listed(spans), []).append(bed.name)
    return [
        f"Rows go across the whole width: nothing is planned in {listed(names)} from {spans}."
        for spans, names in told.items()
    ]


def _freezing(book: Book, standing: Standing) -> list[str]:
    """Say when channels outdoors freeze at night while something stands in them."""
    return [
        f"Nights in {names} fall below 0 °C from "
        f"{_spans([(book.day(a), book.day(b)) for a, b in spans])}: film, pump and pipes may "
        "freeze. Keep them free of frost, or empty and drained."
        for names, spans in freezing(book, standing).items()
    ]


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
        f"{listed(sorted(found))} would root deeper than the beds are filled: "
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
        f"{name} gets less direct sun than {listed(sorted(crops))} would have, and no sunnier "
        "place was to be had: expect it later and less of it."
        for name, crops in found.items()
    ]


def _rotation(book: Book, standing: Standing) -> list[str]:
    """Name fixed sowings that come back to a bed too early; the gardener's word stands."""
    notes = {
        f"{crop.name} follows its own family ({crop.family}) in "
        f"{book.instance.spots[batch.spot].name} sooner than {crop.rotation_gap_months:g} months, "
        "as the garden file has it."
        for number, batch in standing.batches.items()
        for crop in (book.crops[batch.crop],)
        if batch.fixed and (_after_past(book, batch) or _out_of_turn(standing, number))
    }
    return sorted(notes)


def _after_past(book: Book, batch: Batch) -> bool:
    """Return whether a batch's family stood in its place too lately before the season."""
    case = book.instance.crops[batch.crop]
    into = int(case.options.into[batch.option])
    return any(
        stay.spot == batch.spot
        and stay.family == case.family
        and stay.until < into <= stay.until + case.gap_days
        for stay in book.instance.stays
    )


def _out_of_turn(standing: Standing, number: int) -> bool:
    """Return whether a batch goes into a bed while its family rests after an earlier turn there."""
    instance, batch = standing.instance, standing.batches[number]
    if not instance.spots[batch.spot].whole:
        return False
    turns = sorted(standing.turns[batch.spot, instance.crops[batch.crop].family])
    at = next(n for n, turn in enumerate(turns) if turn[3] == number)
    stands = [turn[:3] for turn in turns[: at + 1]]
    return in_turn(stands[:-1], instance.turn_days) and not in_turn(stands, instance.turn_days)


def _turns(book: Book, standing: Standing) -> list[str]:
    """Say that a family's sowings of one season are one turn, where they follow one another."""
    stays: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for batch in standing.batches.values():
        case = book.instance.crops[batch.crop]
        if not book.instance.spots[batch.spot].whole or case.gap_days <= 0:
            continue
        span = int(case.options.into[batch.option]), int(case.options.clear[batch.option])
        stays.setdefault((batch.spot, case.family), []).append(span)
    again = {
        family
        for (_, family), spans in stays.items()
        if max(first for first, _ in spans) >= min(last for _, last in spans)
    }
    families = {
        crop.family
        for crop, case in zip(book.crops, book.instance.crops, strict=True)
        if case.family in again
    }
    if not families:
        return []
    return [
        "A family's sowings in one bed within a year count as one turn and may follow one another "
        f"({listed(sorted(families))} here); its rest begins when the last of them is cleared, "
        "which `sowplan new --after` notes for next season."
    ]


def scarce(plan: Plan) -> str | None:
    """Return a sentence naming the wants of which nothing or little comes; None if there are none.

    Those that nothing could serve are among them: the gardener waits for them all the same.
    """
    shares: dict[str, list[tuple[date, float]]] = {}  # by crop, each wish of it from its first day
    for number in sorted({want.want for want in plan.wants}):
        mine = [want for want in plan.wants if want.want == number]
        share = sum(want.met / want.wanted for want in mine) / len(mine)
        shares.setdefault(mine[0].crop, []).append((min(want.start for want in mine), share))
    nothing, little = [], []
    for crop, its in shares.items():
        name = plan.crop(crop).name.replace(", ", " ")  # a share follows in brackets
        alike = all(share < NOTHING for _, share in its)
        for start, share in its:
            which = name if alike or len(its) == 1 else f"{name} from {day_words(start)} on"
            if share < NOTHING:
                nothing.append(which)
            elif share < LITTLE:
                little.append(f"{which} ({share:.0%})".replace("%", " %"))
    parts = []
    if nothing:
        parts.append(f"Nothing comes of {listed(list(dict.fromkeys(nothing)))}.")
    if little:
        parts.append(f"Little comes of {listed(little)}.")
    return " ".join(parts) or None
