"""What must hold between the cells of one crop. Single cells are the schema's concern."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from sowplan.problem import did_you_mean

Values = Mapping[str, object]


def broken_rules(
    crop: Values, sources: Collection[str], emergence: Collection[str]
) -> Iterator[tuple[str, str]]:
    """Give (column, what would be right) for every rule that a crop breaks.

    Parameters
    ----------
    crop : mapping
        Column names to values; a value that is missing or None breaks no comparison.
    sources, emergence : collections of str
        Keys of ``sources.csv`` and of ``emergence_days.csv``.
    """
    yield from _references(crop, sources, emergence)
    yield from _order(crop)
    yield from _harvest(crop)
    yield from _raising(crop)
    if (crop.get("bolt_daylength_h") is None) != (crop.get("bolt_effect") is None):
        yield "bolt_effect", "bolt_daylength_h and bolt_effect belong together: fill both or none."


def _references(crop: Values, sources: Collection[str], emergence: Collection[str]):
    for key in str(crop.get("source") or "").split():
        if key not in sources:
            yield (
                "source",
                f"'{key}' is not a row of sources.csv.{did_you_mean(key, sources)}"
                " For figures of your own write own.",
            )
    table = crop.get("emergence_table")
    if table is not None and table not in emergence:
        known = ", ".join(emergence)
        yield (
            "emergence_table",
            f"There is no such row of emergence_days.csv; there are {known}. Leave it blank to use "
            "the germination figures of the row.",
        )
    family = crop.get("family")
    if isinstance(family, str) and not (family.endswith("aceae") and family.istitle()):
        yield "family", "This must be the Latin family, as in Brassicaceae or Apiaceae."


def _order(crop: Values):
    rising = (
        ("base_c", "optimum_c", "development stops below the first and is fastest at the second"),
        ("optimum_c", "ceiling_c", "development is fastest at the first and stops at the second"),
        ("germination_min_c", "germination_optimum_c", "emergence is fastest at the second"),
        ("germination_optimum_c", "germination_max_c", "emergence is fastest at the first"),
        ("killing_frost_c", "optimum_c", "frost kills far below the best temperature"),
    )
    for low, high, why in rising:
        a, b = crop.get(low), crop.get(high)
        if isinstance(a, float) and isinstance(b, float) and a >= b:
            yield high, f"This must be above {low} ({a:g} °C): {why}."
    for name in ("maturity_temp_c", "tray_temp_c"):
        a, low, high = crop.get(name), crop.get("base_c"), crop.get("ceiling_c")
        if all(isinstance(x, float) for x in (a, low, high)) and not low < a < high:
            yield name, f"The crop must grow in it: above {low:g} and below {high:g} °C."


def _harvest(crop: Values):
    for harvest, needed in (("cut", ("cuts", "regrowth_days")), ("pick", ("picking_days",))):
        for name in needed:
            if crop.get("harvest") == harvest and crop.get(name) is None:
                yield name, f"A crop with harvest = {harvest} needs this."
            if crop.get("harvest") != harvest and crop.get(name) is not None:
                yield name, f"This belongs to harvest = {harvest} alone: leave it blank."
    if crop.get("harvest") != "pick" and crop.get("unpicked_days") is not None:
        yield "unpicked_days", "This belongs to harvest = pick alone: leave it blank."
    if crop.get("harvest_unit") == "kg" and crop.get("units_per_plant") != crop.get("kg_per_plant"):
        yield "units_per_plant", "Counted in kg, this must equal kg_per_plant."


def _raising(crop: Values):
    for name in ("tray_days", "tray_temp_c", "tray_dli_mol"):
        if crop.get("start") not in ("direct", None) and crop.get(name) is None:
            yield name, f"A crop with start = {crop.get('start')} needs this."
    if crop.get("start") == "direct" and crop.get("maturity_from") == "transplanting":
        yield "maturity_from", "A crop that is always sown direct counts from sowing."
