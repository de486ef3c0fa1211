"""Where and how a crop may be grown in a garden: as asked for, and every other way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from sowplan.commands.named import place_named, tray_named

if TYPE_CHECKING:
    from sowplan.growth.courses import Conditions
    from sowplan.quantity import Units
    from sowplan.records.crop import Crop
    from sowplan.records.garden import Garden, Raising, Tray, Want

_NAMED = 3  # so many places alike are named
_COVERED = {"fleece": ", under fleece", "tunnel": ", in a tunnel", "glass": ", under glass"}


@dataclass(frozen=True)
class Grown:
    """A way to grow a crop: its conditions, the tray it is raised in, the places alike in it."""

    conditions: Conditions
    tray: Tray | None
    places: tuple[Any, ...]


def grown_as_asked(
    crop: Crop,
    garden: Garden,
    wish: Want | None,
    raising: Raising | None,
    place: str | None,
    tray: str | None,
) -> Grown:
    """Return where and how a crop grows: by the words given, else by a wish; or leave.

    Parameters
    ----------
    crop, garden : Crop, Garden
        What, and where.
    wish : Want or None
        A want of the crop that says how it is raised, or where it grows.
    raising : Raising or None
        How it is raised, by the options given or by the wish.
    place, tray : str or None
        Names given on the command line.
    """
    named = place or (wish.places[0] if wish and wish.places else None)
    where = place_named(named, garden, crop)
    return _grown(crop, garden, where, raising, tray_named(tray, garden))


def grown_otherwise(
    crop: Crop, garden: Garden, wish: Want | None, raising: Raising | None, asked: Grown
) -> list[Grown]:
    """Return every other way in which a crop may be grown, those of equal conditions as one.

    In each place that suits it, raised as it usually is, or as the wish says; and in the place
    asked for raised in every other way, where nothing says how. Places in which it grows as in
    that asked for are the first found.
    """
    others: dict[Conditions, Grown] = {asked.conditions: replace(asked, places=())}
    for one in _ways(crop, garden, wish, raising, asked):
        there = others.setdefault(one.conditions, replace(one, places=()))
        new = [place for place in one.places if place not in (*asked.places, *there.places)]
        if new or there.conditions != asked.conditions:
            places = tuple(dict.fromkeys((*there.places, *one.places)))
            others[one.conditions] = replace(there, places=places)
    same = others.pop(asked.conditions)
    alike = [place for place in same.places if place not in asked.places]
    return ([replace(same, places=tuple(alike))] if alike else []) + list(others.values())


def _ways(
    crop: Crop, garden: Garden, wish: Want | None, raising: Raising | None, asked: Grown
) -> Iterator[Grown]:
    """Yield each way to grow a crop, a place at a time."""
    shelf = tray_named(None, garden)
    for place in garden.places:
        if _suits(crop, place) and (not (wish and wish.places) or place.name in wish.places):
            yield _grown(crop, garden, place, raising, shelf)
    if raising is None:
        (here,) = asked.places
        for tray in garden.trays if crop.tray_days is not None else ():
            yield _grown(crop, garden, here, "in trays", tray)
        if crop.start != "raised" and not asked.conditions.film:
            yield _grown(crop, garden, here, "direct", None)


def _suits(crop: Crop, place: Any) -> bool:
    """Return whether a crop may be grown in a place."""
    from sowplan.records.garden import Bed, Channel
    from sowplan.season.choices.spaces import pot_takes

    if isinstance(place, Channel):
        return crop.channel
    return isinstance(place, Bed) or pot_takes(crop, place) > 0


def unsuited(crop: Crop, grown: Grown) -> list[str]:
    """Say that a crop does not suit the place asked for, where it does not."""
    from sowplan.records.garden import Channel

    (place,) = grown.places
    if _suits(crop, place):
        return []
    why = "it suits no channel" if isinstance(place, Channel) else "the pots are too small"
    return [f"A plan puts no {crop.name} into {place.name}: {why}."]


def _grown(
    crop: Crop, garden: Garden, place: Any, raising: Raising | None, shelf: Tray | None
) -> Grown:
    """Return a way to grow a crop; in no tray where it is usually sown where it grows."""
    from sowplan.growth.conditions import bought_for, conditions_of
    from sowplan.records.garden import Channel

    if raising == "bought plants":
        return Grown(bought_for(place, garden.site), None, (place,))
    by_itself = not crop.direct_first or isinstance(place, Channel)
    offered = raising == "in trays" or (raising is None and by_itself)
    found = conditions_of(crop, place, shelf if offered else None, garden.site)
    if raising == "direct":
        found = replace(found, raised=False, tray_temperature_c=None, tray_dli_mol=None)
    return Grown(found, shelf if found.raised else None, (place,))


def setting(grown: Grown, units: Units) -> str:
    """Return where it is sown and grows: ``"raised in a tray (Shelf), grown in Wall box"``."""
    place = placed(grown.places, units)
    if grown.conditions.bought:
        return f"bought as young plants, grown in {place}"
    if not grown.conditions.raised:
        return f"sown direct in {place}"
    tray = grown.tray.name if grown.tray else "outdoors"
    return f"raised in a tray ({tray}), grown in {place}"


def plain_setting(grown: Grown) -> dict[str, Any]:
    """Return the same as JSON holds it: names of places, how it is raised, and in which tray."""
    how = grown.conditions
    raising = "bought plants" if how.bought else "in trays" if how.raised else "direct"
    return {
        "places": [place.name for place in grown.places],
        "raising": raising,
        "tray": grown.tray.name if grown.tray else None,
    }


def placed(places: tuple[Any, ...], units: Units) -> str:
    """Return the names of places alike, what lies over them, and what is kept there indoors."""
    from sowplan.season.words import listed
    from sowplan.supply.wording import indoors_text

    names = [place.name for place in places]
    more = len(names) - _NAMED
    told = [*names[:_NAMED], f"{more} more"] if more > 1 else names
    indoors = places[0].indoors
    kept = "" if indoors is None else f", {indoors_text(indoors, units)}"
    return f"{listed(told)}{_COVERED.get(places[0].cover, '')}{kept}"
