"""One crop in a gardener's words, and many in a list: text to print, nothing printed here."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Mapping

from sowplan.quantity import (
    FOOT_M,
    INCH_M,
    Units,
    format_length,
    format_mass,
    format_mix,
    format_spacing,
    format_temperature,
)
from sowplan.records.crop import Crop
from sowplan.records.crop_table import OWN_SOURCE, Source
from sowplan.records.crop_table.columns import Column
from sowplan.records.crop_table.names import other_names

_TIE = "\N{NO-BREAK SPACE}"
_LABEL = 12  # width of the left column of a card
_GROUPS = {
    "leaf": "Leaves",
    "root": "Roots and tubers",
    "legume": "Peas and beans",
    "allium": "Onions and their kin",
    "brassica": "Cabbages and their kin",
    "fruiting": "Fruiting crops",
    "herb": "Herbs",
}
_HARVEST = {"once": "once", "cut": "cut again", "pick": "picked over"}
_START = {
    "raised": "raised in a tray and planted out",
    "direct": "sown where it grows",
    "direct-first": "usually sown where it grows; in a tray where you ask for it, or where it is "
    "too cold to sow for the days it is wanted",
    "either": "raised in a tray, or sown where it grows",
}
# Orders of magnitude from memory: half of global radiation is light a plant can use, some 2 mol/MJ.
_LIGHT = (
    "counted in mol to the m² and day: a clear midsummer day in the open gives about 60, a dull "
    "midwinter day in middle latitudes about 5"
)
Line = tuple[str, str]  # label (empty: the line before goes on), text


def card(
    crop: Crop,
    sources: Mapping[str, Source],
    units: Units = "metric",
    width: int = 80,
) -> str:
    """Return one crop as a card of labelled lines, wrapped to ``width`` characters."""
    lines = [
        *_sowing(crop, units),
        *_room(crop, units),
        *_harvest(crop, units),
        *_weather(crop, units),
        *_care(crop, units),
        *(("Note", _note(crop.note, units)),) * bool(crop.note),
        *_figures(crop, sources),
    ]
    names = other_names(crop)
    head = [f"{crop.name}  ({crop.key})", f"{crop.botanical_name}, {crop.family}"]
    if names:
        head.append(f"also: {', '.join(names)}")
    head = [part for line in head for part in textwrap.wrap(line, width)]
    return "\n".join([*head, "", *(part for line in lines for part in _wrapped(*line, width))])


def _wrapped(label: str, text: str, width: int) -> list[str]:
    """Wrap one line of a card; a number stays with its unit, a text of lines stays as it is."""
    if "\n" in text:
        lines = text.split("\n")
        return [label.ljust(_LABEL) + lines[0]] + [" " * _LABEL + line for line in lines[1:]]
    lines = textwrap.wrap(
        re.sub(r"(?<=\d[^\w]) (?=\S)|(?<=\d) (?=\S)", _TIE, text),
        width,
        initial_indent=label.ljust(_LABEL),
        subsequent_indent=" " * _LABEL,
        break_on_hyphens=False,
    )
    return [line.replace(_TIE, " ") for line in lines]


def _days(number: float) -> str:
    return "1 day" if number == 1 else f"{number:g} days"


def _span(low: float, high: float, units: Units) -> str:
    a, b = (
        format_temperature(value, units, 1 if units == "metric" else 0) for value in (low, high)
    )
    return f"{a} to {b}"


def _t(celsius: float, units: Units) -> str:
    return format_temperature(celsius, units, 1 if units == "metric" else 0)


def _sowing(crop: Crop, units: Units) -> list[Line]:
    station = "cell" if crop.start == "raised" else "station"
    seeds = "1 seed" if crop.seeds_per_cell == 1 else f"{crop.seeds_per_cell} seeds"
    left = crop.plants_per_cell
    if left > 1:
        thin = f", {left} left to grow as a clump"
    else:
        thin = ", the strongest left" if crop.seeds_per_cell > 1 else ""
    depth = format_length(crop.sowing_depth_mm / 1000, units)
    lines = [
        ("Sowing", f"{_START[crop.start]}; {seeds} a {station}{thin}, {depth} deep"),
        *_emergence(crop, units),
    ]
    if crop.tray_days is not None:
        lines.append(
            (
                "",
                f"fit to plant out {_days(crop.tray_days)} after it is up, at "
                f"{_t(crop.tray_temp_c, units)} and {crop.tray_dli_mol:g} mol of light a day",
            )
        )
    return lines


def _emergence(crop: Crop, units: Units) -> list[Line]:
    share = f"{crop.germination_percent:g} of 100 seeds come up"
    if not crop.emergence_c:
        span = _span(crop.germination_min_c, crop.germination_max_c, units)
        best = _t(crop.germination_optimum_c, units)
        days = _days(crop.emergence_days)
        return [("", f"some {share} in soil of {span}, soonest at {best}: after {days}")]
    soil = [_t(celsius, units).split() for celsius in crop.emergence_c]
    days = ["-" if d == float("inf") else f"{d:g}" for d in crop.emergence_table_days]
    heads = (f"soil, {soil[0][1]}", "days")
    cells = ([degrees for degrees, _ in soil], days)
    table = "\n".join(
        f"{head:<9}" + "".join(f"{cell:>5}" for cell in row)
        for head, row in zip(heads, cells, strict=True)
    )
    return [("", f"some {share}, after so many days (-: none)"), ("", table)]


def _room(crop: Crop, units: Units) -> list[Line]:
    plant = "clump" if crop.plants_per_cell > 1 else "plant"
    spacing = format_spacing(crop.spacing_cm / 100, units)
    rows = format_spacing(crop.row_spacing_cm / 100, units)
    apart = (
        f"{spacing} each way"
        if crop.spacing_cm == crop.row_spacing_cm
        else f"{spacing} in the row, rows {rows} apart"
    )
    height, spread = (format_spacing(x, units) for x in (crop.height_m, crop.spread_cm / 100))
    support = {"none": "", "canes": "; tied to canes", "trellis": "; climbs a trellis"}
    pot = format_mix(crop.pot_litres, units)
    channel = "; suits a nutrient-film channel, a third sooner" if crop.channel else ""
    return [
        ("Room", f"{apart}; grows {height} high and {spread} wide{support[crop.support]}"),
        ("", f"in a pot, {pot} of growing mix a {plant}{channel}"),
    ]


def _harvest(crop: Crop, units: Units) -> list[Line]:
    event = "sowing" if crop.maturity_from == "sowing" else "planting out"
    how = {
        "once": f"brought in whole; stands fit for {_days(crop.holding_days)}",
        "cut": f"{crop.cuts} cuts, {_days(crop.regrowth_days or 0)} apart; each stands fit for "
        f"{_days(crop.holding_days)}",
        "pick": f"picked over {_days(crop.picking_days or 0)}; what is ripe stands fit for "
        f"{_days(crop.holding_days)}",
    }[crop.harvest]
    left = ""
    if crop.unpicked_days is not None:
        again = _days(crop.unpicked_days)
        left = f"; left unpicked it stops, and gives again {again} after it is cleared"
    plant = "clump" if crop.plants_per_cell > 1 else "plant"
    mass = format_mass(crop.kg_per_plant, units)
    amount = f"{mass} a {plant}"
    if crop.harvest_unit != "kg":
        one = format_mass(crop.kg_per_plant / crop.units_per_plant, units)
        many = "" if crop.units_per_plant == 1 else f" ({mass})"
        amount = (
            f"{_count(crop.units_per_plant, crop.harvest_unit)}{many} a {plant}; a "
            f"{crop.harvest_unit} weighs about {one}"
        )
    area_m2 = crop.spacing_cm * crop.row_spacing_cm / 1e4
    unit_area = 1.0 if units == "metric" else FOOT_M**2
    density = format_mass(crop.kg_per_plant / area_m2 * unit_area, units)
    per = "m²" if units == "metric" else "sq ft"
    return [
        (
            "Harvest",
            f"first {_days(crop.maturity_days)} after {event}, at "
            f"{_t(crop.maturity_temp_c, units)} and {crop.maturity_dli_mol:g} mol of light a day",
        ),
        ("", f"{how}; keeps {_days(crop.keeps_days)}{left}"),
        ("", f"{amount}; {density} to the {per}"),
    ]


def _count(number: float, unit: str) -> str:
    plural = {"bunch": "bunches"}.get(unit, f"{unit}s")
    shown = f"{number:.3g}"
    return f"{shown} {unit if number == 1 else f'of a {unit}' if number < 1 else plural}"


def _weather(crop: Crop, units: Units) -> list[Line]:
    frost = (
        f"tender: dies at {_t(crop.killing_frost_c, units)}"
        if crop.tender
        else f"hardened plants stand frost down to {_t(crop.killing_frost_c, units)}"
    )
    lines = [
        (
            "Weather",
            f"grows above {_t(crop.base_c, units)}, fastest at {_t(crop.optimum_c, units)}, not "
            f"at all at {_t(crop.ceiling_c, units)}; {frost}",
        )
    ]
    effects = []
    if crop.bolt_daylength_h is not None:
        verb = "forms bulbs" if crop.bolt_effect == "bulbs" else "bolts"
        hours, minutes = divmod(round(crop.bolt_daylength_h * 60), 60)
        effects.append(f"{verb} in days longer than {hours} h{f' {minutes} min' * bool(minutes)}")
    if crop.night_c is not None:
        effects.append(f"out only once nights keep above {_t(crop.night_c, units)} in a cool week")
    if crop.bolt_heat_c is not None:
        effects.append(
            f"bolts or turns bitter in days above {_t(crop.bolt_heat_c, units)} on average"
        )
    if crop.chill_days is not None:
        effects.append(
            f"needs some {_days(crop.chill_days)} of winter cold before it forms its crop"
        )
    if crop.bolt_chill_days is not None:
        effects.append(
            f"bolts in the spring after some {_days(crop.bolt_chill_days)} of cold, once half grown"
        )
    sun = f"wants {crop.sun_hours:g} hours of direct sun a day" if crop.sun_hours else "bears shade"
    return [*lines, ("", "; ".join([sun, *effects]))]


def _care(crop: Crop, units: Units) -> list[Line]:
    roots = format_spacing(crop.rooting_depth_m, units)
    gap = crop.rotation_gap_months
    wait = (
        f"no {crop.family} in the same bed for {gap:g} months before"
        if gap
        else "may follow its own family"
    )
    return [
        (
            "Water",
            f"crop coefficient {crop.kc_initial:g} young, {crop.kc_mid:g} full-grown, "
            f"{crop.kc_end:g} at harvest; roots reach {roots}",
        ),
        ("Rotation", wait),
    ]


def _note(text: str, units: Units) -> str:
    """Return a note, its metric figures turned where imperial ones are asked for."""
    if units == "metric":
        return text
    turned = {
        "°C": lambda x: format_temperature(x, units),
        "cm": lambda x: format_spacing(x / 100, units),
        "g": lambda x: format_mass(x / 1000, units),
    }
    return re.sub(r"(-?\d+) (°C|cm|g)\b", lambda m: turned[m[2]](float(m[1])), text)


def _figures(crop: Crop, sources: Mapping[str, Source]) -> list[Line]:
    lines = []
    for key in crop.source.split():
        source = sources[key]
        year = f" ({source.year})" if source.year else ""
        about = source.about[0].upper() + source.about[1:]
        lines.append(("" if lines else "Figures", f"{about}: {source.title}{year}"))
    return [*lines, ("Light", _LIGHT)]


def listing(crops: Iterable[Crop], units: Units = "metric") -> list[Line]:
    """Return crops as (heading or empty, line) in the order of their groups, 80 columns wide."""
    lines: list[Line] = []
    groups: dict[str, list[Crop]] = {}
    for crop in crops:
        groups.setdefault(crop.group, []).append(crop)
    for group in sorted(groups, key=list(_GROUPS).index):
        lines += [(_GROUPS[group], "")] + [("", _row(crop, units)) for crop in groups[group]]
    return lines


def listing_head() -> str:
    """Return the column heads of `listing`."""
    return f"  {'Crop':<24}{'Spacing':<15}{'Started':<8}{'First harvest':<20}Harvest"


def _row(crop: Crop, units: Units) -> str:
    size, unit = (1.0, "cm") if units == "metric" else (100 * INCH_M, "in")
    spacing = f"{crop.spacing_cm / size:.0f} × {crop.row_spacing_cm / size:.0f} {unit}"
    event = "sowing" if crop.maturity_from == "sowing" else "planting"
    first = f"{crop.maturity_days:g} d from {event}"
    own = "*" if OWN_SOURCE in crop.source.split() else " "
    harvest = _HARVEST[crop.harvest]
    usual = "direct" if crop.direct_first else crop.start
    return f"{own} {crop.key:<24}{spacing:<15}{usual:<8}{first:<20}{harvest}"


def schema(columns: Iterable[Column], width: int = 80) -> str:
    """Return the columns of the crop table as text, one paragraph a column."""
    lines = []
    for column in columns:
        needed = "needed" if column.required else "may be blank"
        lines.append(f"{column.name}  ({column.form}; {needed})")
        lines += textwrap.wrap(
            column.meaning, width, initial_indent="    ", subsequent_indent="    "
        )
    return "\n".join(lines)
