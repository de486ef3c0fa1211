"""Places of a garden file as ``sowplan fit`` asks of them: beds, channels, pots and trays."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from sowplan.quantity import Units
    from sowplan.records.crop import Crop
    from sowplan.records.garden import Channel, Pot, Tray


def channel_slots(channel: Channel, spacing_m: float) -> dict[str, Any]:
    """Return the holes a crop takes of a channel, as plain values."""
    from sowplan.bed.slots import holes_per_plant, holes_used

    used = holes_used(channel.holes, channel.spacing_m, spacing_m)
    return {
        "place": channel.name,
        "kind": "channel",
        "plants": len(used),
        "of": channel.holes,
        "every": holes_per_plant(channel.spacing_m, spacing_m),
        "slots": list(used),
    }


def pot_slots(pot: Pot, crop: Crop) -> dict[str, Any]:
    """Return how many plants a set of pots takes, as plain values."""
    from sowplan.bed.slots import pot_width_m
    from sowplan.season.choices.spaces import pot_takes

    each = pot_takes(crop, pot)
    return {
        "place": pot.name,
        "kind": "pot",
        "plants": each * pot.count,
        "of": pot.count,
        "each": each,
        "width_m": round(pot_width_m(pot.volume_l), 3),
    }


def tray_slots(tray: Tray, crop: Crop, number: int | None = None) -> dict[str, Any]:
    """Return what a tray raises of a crop, as plain values.

    ``sure`` is the number of cells in which something comes up, at least, in nine trays of ten;
    ``sow`` the cells to sow so that, as surely, there are ``number`` plants (or clumps) to set out.
    """
    from sowplan.bed.slots import cell_chance, full_cells, tray_cells

    cells = tray.cells if crop.tray_days is not None else 0
    chance = cell_chance(crop.seeds_per_cell, crop.germination_percent / 100, 1)
    return {
        "place": tray.name,
        "kind": "tray",
        "plants": cells * crop.plants_per_cell,
        "of": tray.cells,
        "each": crop.plants_per_cell,
        "seeds": cells * crop.seeds_per_cell,
        "sure": full_cells(cells, chance),
        "number": number,
        "sow": tray_cells(number, chance) if number and cells else None,
    }


def _tray_sentence(slots: dict[str, Any], name: str, crop: Crop) -> str:
    if slots["plants"] == 0:
        return f"No tray for {name}: it is sown where it will grow."
    per = "1 seed" if crop.seeds_per_cell == 1 else f"{crop.seeds_per_cell} seeds"
    clumps = "" if slots["each"] == 1 else f" Up to {slots['each']} stay in each, as a clump."
    thin = " Leave the strongest in each." if slots["each"] < crop.seeds_per_cell else ""
    return (
        f"{slots['place']} has {slots['of']} cells: {slots['seeds']} seeds of {name}, {per} a "
        f"cell.{clumps or thin} Count on {slots['sure']} cells with plants.{_to_set_out(slots)}"
    )


def _to_set_out(slots: dict[str, Any]) -> str:
    """Return how many cells to sow for the number asked for."""
    if slots["sow"] is None:
        return ""
    what = "clumps" if slots["each"] > 1 else "plants"
    much = "" if slots["sow"] <= slots["of"] else f": more than the {slots['of']} it has"
    return f" For {slots['number']} {what} to set out sow {slots['sow']} cells{much}."


def slots_sentence(slots: dict[str, Any], name: str, crop: Crop, units: Units) -> str:
    """Return the answer for a channel, pots or a tray."""
    if slots["kind"] == "tray":
        return _tray_sentence(slots, name, crop)
    plural = "" if slots["plants"] == 1 else "s"
    verb = "fits" if slots["plants"] == 1 else "fit"
    fits = f"{slots['plants']} plant{plural} of {name} {verb} into {slots['place']}"
    if slots["kind"] == "channel":
        every = {1: "every hole", 2: "every second hole", 3: "every third hole"}
        how = every.get(slots["every"], f"one hole in {slots['every']}")
        unfit = "" if crop.channel else f" But {name} does not suit a nutrient-film channel."
        return f"{fits}: {how} of {slots['of']}.{unfit}"
    from sowplan.quantity import format_length, format_mix

    if slots["each"]:
        wide = f"taken to be {format_length(slots['width_m'], units)} wide"
        return f"{fits}: {slots['each']} a pot, {slots['of']} pots, {wide}."
    need = f"one needs {format_mix(crop.pot_litres, units)} of growing mix"
    return f"No plant of {name} fits into {slots['place']}: {need}."
