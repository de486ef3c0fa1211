"""What the sheets say: a plan as plain values, worded and ordered, for the typesetting."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from sowplan.export.nearness import near_told
from sowplan.export.pictures.lettering import legible, shorten
from sowplan.export.pictures.words import (
    day_month,
    day_month_year,
    harvest_text,
    place_size,
    plain,
    season_name,
    weekday_day,
    where_in_place,
)
from sowplan.export.print.marks import marks
from sowplan.export.sky_words import HARDLY_H, dark, light_all_day, spans
from sowplan.quantity import kept_together
from sowplan.season.plan import Plan, Planting
from sowplan.season.words import SEED, propagule, sown_word
from sowplan.supply.buying import plants_to_buy
from sowplan.supply.seed import seed_needs, tray_use
from sowplan.supply.wording import (
    by_number,
    count_text,
    percent_text,
    stations_text,
)

FORECAST = "Dates are forecasts; the weather decides. Watch the local forecast for frost."
LABEL_PT = 152.0  # room of a label on the narrower page [pt]


def content(plan: Plan, sheets: Sequence[str], by_month: Iterable[dict] = ()) -> dict[str, object]:
    """Return everything the chosen sheets say.

    Parameters
    ----------
    plan : Plan
        A finished season.
    sheets : sequence of str
        Of `sowplan.export.print.pdf.SHEETS`.
    by_month : iterable of dict
        Of `sowplan.export.print.months.months`, where its sheets are among them.

    Returns
    -------
    dict
        Plain values fit for JSON, in letters the shipped font has; no line of them ends between a
        figure and its unit.
    """
    site = plan.site
    said = {
        "name": site.name,
        "season": season_name(site.start, site.end),
        "date": [site.start.year, site.start.month, site.start.day],
        "sheets": list(sheets),
        "key_dates": key_dates(plan),
        "note": f"{FORECAST} {near_told(plan)}".rstrip(),
        "months": list(by_month) if "months" in sheets else [],
        "plantings": [planting_card(plan, p) for p in in_order(plan)]
        if "plantings" in sheets
        else [],
        "labels": [label(plan, p) for p in in_order(plan)] if "labels" in sheets else [],
        "tray_labels": [tray_label(plan, p) for p in raised(plan)] if "labels" in sheets else [],
        "shopping": shopping(plan) if "shopping" in sheets else {},
    }
    return _fit_to_set(said)


def _fit_to_set(value: object) -> object:
    if isinstance(value, str):
        return kept_together(legible(value))
    if isinstance(value, dict):
        return {key: _fit_to_set(one) for key, one in value.items()}
    return [_fit_to_set(one) for one in value] if isinstance(value, list) else value


def in_order(plan: Plan) -> list[Planting]:
    """Return the plantings in the order in which they go into the ground."""

    def order(p: Planting) -> tuple[object, ...]:
        return p.occupies_from, by_number(p.place), p.strip_start_m, by_number(p.id)

    return sorted(plan.plantings, key=order)


def raised(plan: Plan) -> list[Planting]:
    """Return the plantings raised in trays, in the order of sowing."""
    in_trays = (p for p in plan.plantings if p.tray)
    return sorted(in_trays, key=lambda p: (p.sow, by_number(p.tray), by_number(p.id)))


def key_dates(plan: Plan) -> list[list[str]]:
    """Return the season's turning points as pairs of words and date."""
    site = plan.site
    risk = percent_text(site.frost_risk)
    pairs: list[tuple[str, date | None]] = [
        (f"Last frost ({risk} risk later)", site.last_frost),
        (f"First frost ({risk} risk earlier)", site.first_frost),
    ]
    dated = sorted((day, words) for words, day in pairs if day is not None)
    found = [[words, day_month_year(day)] for day, words in dated]
    if not found and site.frost_note:
        note = site.frost_note.partition(";")[0]  # how that is known stands in the picture
        found.append(["Frost", note[:1].upper() + note[1:]])
    found += _light_dates(plan)
    if plan.plantings:
        # What stood before is last season's: its days are no news.
        sown = [p.sow for p in plan.plantings if not p.bought and p.sow >= site.start]
        outs = [p.planting_out for p in plan.plantings if p.planting_out]
        outs = [day for day in outs if day >= site.start]
        fit = [max(p.harvest_start, site.start) for p in plan.plantings if not p.in_vain]
        pairs = [
            ("First sowing", min(sown, default=None)),
            ("First planting out", min(outs, default=None)),
            ("First harvest, likely", min(fit, default=None)),
            ("Last sowing", max(sown, default=None)),
        ]
        found += [[words, day_month_year(day)] for words, day in pairs if day is not None]
    return found


def _light_dates(plan: Plan) -> list[list[str]]:
    """Return the shortest and longest day, or when the sun does not rise or set.

    A season's first or last day is no turning point and is left out; where days hardly differ
    in length none is.
    """
    found = []
    hours = [d.daylength_h for d in plan.sky]
    if hours and max(hours) - min(hours) < HARDLY_H:
        least, most = (plain(round(h, 1)) for h in (min(hours), max(hours)))
        said = f"{least} h" if least == most else f"{least} to {most} h"
        return [["Daylength, all season", said]]
    for words, always, holds, sign in (
        ("Shortest day", "The sun does not rise", dark, 1),
        ("Longest day", "The sun does not set", light_all_day, -1),
    ):
        at_limit = spans(plan, holds)
        for first, last in at_limit:
            until = f" to {day_month(last)}" if last > first else ""
            found.append([always, f"{day_month_year(first)}{until}"])
        if plan.sky and not at_limit:
            day = min(plan.sky, key=lambda d, sign=sign: (sign * d.daylength_h, d.day)).day
            if day not in (plan.sky[0].day, plan.sky[-1].day):
                found.append([words, day_month_year(day)])
    return found


def planting_card(plan: Plan, p: Planting) -> dict[str, object]:
    """Return what is said of a planting on the day it goes into the ground."""
    crop, place, units = plan.crop(p.crop), plan.place(p.place), plan.site.units
    what = propagule(crop)
    verb = "Plant out" if p.planting_out else "Sow" if what == SEED else "Plant"
    seed = "" if p.planting_out else f", {count_text(p.seeds, what)}"
    harvest = harvest_text(p)
    return {
        "id": p.id,
        "crop": crop.name,
        "plants": f"{stations_text(p.plants, crop.plants_per_cell)}{seed}",
        "when": f"{verb} {weekday_day(p.occupies_from)} {p.occupies_from.year}",
        "where": f"{place.name}, {where_in_place(plan, p)}",
        "marks": marks(plan, p),
        "harvest": f"{harvest[:1].upper()}{harvest[1:]}",
        "size": place_size(place, units),
    }


def label(plan: Plan, p: Planting) -> dict[str, str]:
    """Return a row label."""
    crop = plan.crop(p.crop)
    verb = "planted out" if p.planting_out else sown_word(crop)
    return {
        "crop": shorten(crop.name, LABEL_PT, 12.5, True),
        "latin": shorten(crop.botanical_name, LABEL_PT, 6.5),
        "first": f"{verb} {day_month_year(p.occupies_from)}, "
        + stations_text(p.plants, crop.plants_per_cell),
        "second": shorten(f"{p.place}, {where_in_place(plan, p)}", LABEL_PT, 8.2),
        "third": harvest_text(p) if p.in_vain else f"harvest from {day_month(p.harvest_start)}",
        "id": shorten(p.id, LABEL_PT * 0.7, 6.5),
    }


def tray_label(plan: Plan, p: Planting) -> dict[str, str]:
    """Return a tray label."""
    crop = plan.crop(p.crop)
    out = f"out {day_month(p.planting_out)} to {p.place}" if p.planting_out else ""
    return {
        "crop": shorten(crop.name, LABEL_PT, 12.5, True),
        "latin": shorten(crop.botanical_name, LABEL_PT, 6.5),
        "first": f"{sown_word(crop)} {day_month_year(p.sow)}, {count_text(p.cells, 'cell')}",
        "second": shorten(p.tray or "", LABEL_PT, 8.2),
        "third": shorten(out, LABEL_PT, 8.2),
        "id": p.id,
    }


def shopping(plan: Plan) -> dict[str, list[list[str]]]:
    """Return what to have in hand, as rows of text: seed, plants, trays, what crops climb on."""
    return {
        "seeds": seeds(plan),
        "plants": [
            [need.name, need.number, day_month_year(need.out)] for need in plants_to_buy(plan)
        ],
        "trays": [
            [use.tray, str(use.cells), str(use.most), day_month_year(use.day)]
            for use in tray_use(plan)
            if use.day is not None
        ],
        "supports": supports(plan),
    }


def supports(plan: Plan) -> list[list[str]]:
    """Return what each climbing crop is tied to, and the most of its plants at once."""
    rows = []
    for crop in plan.crops:
        stands = [p for p in plan.plantings if p.crop == crop.key]
        if crop.support == "none" or not stands:
            continue
        days = [p.occupies_from for p in stands]
        most = max(sum(p.plants for p in stands if p.occupies_from <= d < p.cleared) for d in days)
        rows.append([crop.name, crop.support, str(most), day_month_year(min(days))])
    return rows


def seeds(plan: Plan) -> list[list[str]]:
    """Return the seed to have as rows of text."""
    return [
        [
            need.name,
            str(need.sowings),
            day_month(need.first_sowing),
            day_month(need.last_sowing) if need.sowings > 1 else "",
            str(need.cells) if need.cells else "",
            str(need.seeds),
            str(need.seeds_in_hand) + (f" {need.what}" if need.what != "seeds" else ""),
        ]
        for need in seed_needs(plan)
    ]
