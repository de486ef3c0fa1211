"""From the plantings of a plan to stands and futures of the instance, and what it lacks for them.

What a plan has and the garden file has no more (a bed taken away, a crop no longer wanted) is
added to the book for as long as something stands there or of it; nothing new is sown there.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from sowplan.records.crop import Crop
from sowplan.records.garden import Bed, Channel, Pot, Where
from sowplan.season.choices.book import Book
from sowplan.season.choices.candidates import HIGH_M, cells_per_plant
from sowplan.season.choices.instance import BOUGHT, DIRECT, NO_OPTIONS, CropCase, Periods, Spot
from sowplan.season.plan import Plan, PlanPlace, Planting
from sowplan.season.revise.kept import Future
from sowplan.season.revise.so_far import Stand

NOWHERE = Where("", "", None)
NO_TRAY = -3
"""Stands for the group of a tray that is there no more: no option has it."""


@dataclass(frozen=True)
class Numbers:
    """How the plantings of a plan are found in a book's instance."""

    book: Book
    crops: dict[str, int]
    spots: dict[str, int]
    trays: dict[str, int]

    def stand(self, p: Planting) -> Stand:
        """Return a planting that is sown as a stand."""
        book, crop = self.book, self.crops[p.crop]
        keeps = int(book.crops[crop].keeps_days)
        per_plant = book.crops[crop].units_per_plant
        lots = tuple(
            (book.index(lot.ready), book.index(lot.last), book.index(lot.last) + keeps,
             lot.amount / per_plant)
            for lot in p.lots
        )  # fmt: skip
        return Stand(
            crop=crop,
            sow=book.index(p.sow),
            into=book.index(p.planting_out or p.sow),
            clear=book.index(p.cleared),
            plants=p.plants,
            spot=self.spots[p.place],
            mask=self.mask(p),
            tray=_tray(p, self.trays.get(p.tray or "", DIRECT)),
            cells=p.cells,
            lots=lots,
        )

    def future(self, p: Planting, fixed: int = -1) -> Future:
        """Return a planting still to be sown; ``fixed`` is the number of the gardener's sowing."""
        book, tray = self.book, self.trays.get(p.tray) if p.tray else None
        there = [place.name for place in book.garden.beds + book.garden.channels + book.garden.pots]
        group = _tray(p, NO_TRAY if tray is None else book.instance.trays[tray].group)
        return Future(
            crop=self.crops[p.crop],
            sow=book.index(p.sow),
            into=book.index(p.occupies_from),
            clear=book.index(p.cleared),
            plants=p.plants,
            spot=self.spots[p.place] if p.place in there else None,
            mask=self.mask(p),
            group=group,
            tray=tray if p.tray else -1,
            fixed=fixed,
        )

    def mask(self, p: Planting) -> int:
        """Return the units of its place that a planting takes."""
        if p.kind != "bed":
            return sum(1 << (slot - 1) for slot in p.slots)
        unit = self.book.unit_m
        start = int(p.strip_start_m / unit + 1e-6)
        end = -int(-((p.strip_start_m + p.strip_length_m) / unit - 1e-6) // 1)
        return ((1 << (end - start)) - 1) << start


def _tray(p: Planting, number: int) -> int:
    """Return the number of a planting's tray, or what stands for it where it is in none."""
    return {"direct": DIRECT, "bought plants": BOUGHT, "in trays": number}[p.raising]


def numbers_for(
    book: Book, plan: Plan, plantings: Iterable[Planting], crops: Mapping[str, Crop]
) -> Numbers:
    """Return how plantings are found in a book, what they need added to it."""
    plantings = list(plantings)
    known = {crop.key for crop in book.crops}
    more = dict.fromkeys(p.crop for p in plantings if p.crop not in known)
    book = _with_crops(book, [crops[key] for key in more])
    there = {place.name for place in book.places}
    lost = dict.fromkeys(p.place for p in plantings if p.place not in there)
    book = _with_places(book, [plan.place(name) for name in lost])
    return Numbers(
        book,
        {crop.key: n for n, crop in enumerate(book.crops)},
        {spot.name: n for n, spot in enumerate(book.instance.spots)},
        {tray.name: n for n, tray in enumerate(book.instance.trays)},
    )


def _with_crops(book: Book, more: list[Crop]) -> Book:
    """Return a book that knows more crops, none of which is sown any more."""
    families = {
        c.family: case.family for c, case in zip(book.crops, book.instance.crops, strict=True)
    }
    named = sorted({c.family for c in book.crops} | {past.family for past in book.garden.past})
    families |= {family: n for n, family in enumerate(named)}
    cases = []
    for crop in more:
        families.setdefault(crop.family, len(families))
        cases.append(
            CropCase(
                key=crop.key,
                family=families[crop.family],
                gap_days=crop.rotation_gap_days,
                cells_per_plant=cells_per_plant(crop),
                periods=Periods(*(np.zeros(0, t) for t in (int, int, float, float, int))),
                options=NO_OPTIONS,
                room={},
                high=crop.height_m >= HIGH_M,
                fewest=np.zeros(0, np.int64),
            )
        )
    instance = replace(book.instance, crops=(*book.instance.crops, *cases))
    return replace(book, crops=(*book.crops, *more), instance=instance)


def _with_places(book: Book, lost: list[PlanPlace]) -> Book:
    """Return a book that knows places which are no more, each of a group of its own."""
    spots, places = list(book.instance.spots), list(book.places)
    group = max((spot.group for spot in spots), default=-1)
    for place in lost:
        group += 1
        if place.kind == "bed":
            size = int((place.length_m - 2 * place.edge_m) / book.unit_m + 1e-6)
        else:
            size = place.holes or place.count
        spots.append(Spot(place.name, group, max(size, 1), place.kind == "bed"))
        places.append(_place_of(place))
    instance = replace(book.instance, spots=tuple(spots))
    return replace(book, places=tuple(places), instance=instance)


def _place_of(place: PlanPlace) -> Bed | Channel | Pot:
    """Return a place of a plan as a record again."""
    if place.kind == "bed":
        return Bed(
            place.name, place.length_m, place.width_m, place.depth_m, NOWHERE, place.edge_m,
            place.cover, place.reservoir_l, place.bearing_deg, keep_outs=place.keep_outs,
            cut_m=place.cut_m, rounded_m=place.rounded_m, indoors=place.indoors,
        )  # fmt: skip
    if place.kind == "channel":
        return Channel(
            place.name, place.holes, place.hole_spacing_m, NOWHERE, place.cover, place.indoors
        )
    return Pot(place.name, place.count, place.volume_l, NOWHERE, place.cover, place.indoors)
