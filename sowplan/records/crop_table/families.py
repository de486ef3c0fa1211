"""Botanical families by the names people write."""

from __future__ import annotations

from collections.abc import Mapping

from sowplan.records.crop import Crop
from sowplan.records.crop_table.names import find_crop

# The eight older names that the International Code of Nomenclature (Article 18.5) allows beside
# those in -aceae, as far as kitchen plants have them; then families since merged (APG IV).
_OTHER_NAMES = {
    "cruciferae": "Brassicaceae",
    "leguminosae": "Fabaceae",
    "papilionaceae": "Fabaceae",
    "compositae": "Asteraceae",
    "umbelliferae": "Apiaceae",
    "labiatae": "Lamiaceae",
    "gramineae": "Poaceae",
    "chenopodiaceae": "Amaranthaceae",
    "alliaceae": "Amaryllidaceae",
    "liliaceae": "Amaryllidaceae",
    "valerianaceae": "Caprifoliaceae",
}
# What gardeners call them.
_EVERYDAY = {
    "Brassicaceae": "brassica brassicas crucifer crucifers cabbage mustard",
    "Fabaceae": "legume legumes bean beans pea peas pulses",
    "Amaryllidaceae": "allium alliums onion onions",
    "Solanaceae": "nightshade nightshades solanums potato tomato",
    "Amaranthaceae": "beet beets goosefoot amaranth chenopods",
    "Apiaceae": "umbellifer umbellifers carrot carrots parsley",
    "Asteraceae": "daisy composite composites lettuce lettuces",
    "Cucurbitaceae": "cucurbit cucurbits squash squashes gourd gourds",
    "Lamiaceae": "mint mints",
    "Poaceae": "grass grasses cereals corn",
    "Rosaceae": "rose roses strawberry strawberries",
}
# Families that stand in kitchen gardens without being in the crop table.
_FURTHER = (
    *("Aizoaceae", "Asparagaceae", "Basellaceae", "Boraginaceae", "Caprifoliaceae"),
    *("Convolvulaceae", "Ericaceae", "Grossulariaceae", "Hydrophyllaceae", "Iridaceae"),
    *("Linaceae", "Malvaceae", "Montiaceae", "Papaveraceae", "Poaceae", "Polygonaceae"),
    *("Portulacaceae", "Rosaceae", "Tropaeolaceae", "Vitaceae", "Zingiberaceae"),
)


def family_of(text: str, crops: Mapping[str, Crop]) -> str | None:
    """Return the botanical family meant.

    Parameters
    ----------
    text : str
        ``"Brassicaceae"``, ``"Cruciferae"``, ``"cabbage family"``, or a crop's key or name.
    crops : mapping of str to Crop
        The crops known, by key.

    Returns
    -------
    str or None
        The family's name in -aceae; None where none is meant.
    """
    word = text.casefold().removesuffix(" family").strip()
    known = {crop.family for crop in crops.values()} | {*_FURTHER, *_EVERYDAY}
    by_name = {name.casefold(): name for name in known} | _OTHER_NAMES
    by_name |= {name: family for family, names in _EVERYDAY.items() for name in names.split()}
    if word in by_name:
        return by_name[word]
    crop = find_crop(text, crops)
    return crop.family if crop else None
