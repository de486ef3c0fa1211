"""What a crop needs to get from one event to the next, in days of its fastest development.

The crop table states days in reference conditions. Multiplied with the rate in those conditions
they become an amount of development, which other weather brings sooner or later.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from sowplan.growth.germination import days_to_emerge
from sowplan.growth.response import (
    REFERENCE_HALF_RANGE_K,
    day_response,
    light_response,
    temperature_response,
)
from sowplan.records.crop import Crop

# The least share of a crop's development that it does after planting out: guards against rows
# whose days in the tray would use up days to maturity that count from sowing.
_LEAST_OUTDOORS = 0.25
_PICK_EVERY_DAYS = 7.0  # a picked crop is gone over once a week
# Share of its development in which a plant that is never raised is a seedling still; one that is
# raised is a seedling while in the tray. From memory.
_SEEDLING_SHARE = 0.45
# In nutrient film water and food never run short, and roots are not checked by planting out: head
# lettuce took four weeks where its like took six in the soil of the same greenhouse, in spring,
# and two to four where it took four to five in summer (University of Ljubljana, Biotechnical
# Faculty, 2023: yield and quality of lettuce on a hydroponic system and in soil). One pace for all:
# weeks printed of chard, kale, parsley, basil and rocket in water come out with it as well
# (`tests/published/test_growth_film.py`).
_FILM_PACE = 1.5
# Seedlings go into it younger than into a bed, as soon as roots come out of the plug: lettuce 11 to
# 18 days old (Cornell, Hydroponic Lettuce Handbook; Florida Gulf Coast University, Agricultural
# Sciences 14:8), basil and mint of two weeks, watercress of three, dill of four (Michigan State
# University, of growth in rockwool at 23 °C). The share of the days in the tray is from memory.
_FILM_TRAY_SHARE = 0.6


@dataclass(frozen=True)
class Needs:
    """Amounts of development; ``field_rate`` is the rate in the crop's reference conditions."""

    seed: float  # from sowing to emergence, of which 1 is the whole; 0 where plants are bought
    tray: float  # from emergence to a plant fit to be planted out; 0 where it is never raised
    field: float  # from emergence (sown direct) or planting out (raised) to the first harvest
    seedling: float  # from there to the end of the seedling stage; 0 where it is raised for a bed
    step: float  # from one lot to the next; 0 where there is but one
    lots: int
    field_rate: float
    field_days: float  # ``field`` in reference days
    whole_days: float  # from emergence to the first harvest in reference days


def needs_of(crop: Crop, raised: bool, bought: bool = False, film: bool = False) -> Needs:
    """Return what a crop needs, raised or sown direct.

    Parameters
    ----------
    crop : Crop
        The crop.
    raised : bool
        Whether it is raised in a tray; needs the row's ``tray_days`` then.
    bought : bool
        Whether somebody else raised it, to the age at which the row has it planted out.
    film : bool
        Whether it grows on in nutrient film instead of soil.

    Returns
    -------
    Needs
        Amounts in days at the fastest rate.

    Notes
    -----
    Days to maturity counted from sowing include emergence at the reference temperature; days
    counted from transplanting leave out the time in the tray, which a direct sowing spends in the
    ground instead, at the speed of the weather there.
    """
    warmth = day_response(
        crop.maturity_temp_c - REFERENCE_HALF_RANGE_K,
        crop.maturity_temp_c + REFERENCE_HALF_RANGE_K,
        crop.base_c,
        crop.optimum_c,
        crop.ceiling_c,
    )
    rate = float(warmth * light_response(crop.maturity_dli_mol, crop.light_half_mol))
    tray = _tray_need(crop)
    if crop.maturity_from == "transplanting":
        whole = tray + crop.maturity_days * rate
    else:
        emergence = days_to_emerge(crop, crop.maturity_temp_c)
        if math.isinf(emergence):
            emergence = days_to_emerge(crop, crop.germination_optimum_c)
        whole = max(crop.maturity_days - emergence, 0.25 * crop.maturity_days) * rate
    field = max(whole - tray, _LEAST_OUTDOORS * whole) if raised else whole
    seedling = 0.0 if raised else min(tray or _SEEDLING_SHARE * whole, 0.5 * whole)
    lots, step_days = _lots(crop)
    if film:
        if raised and not bought:
            seedling = (1.0 - _FILM_TRAY_SHARE) * tray  # what it does in the channel
            tray, field = tray - seedling, field + seedling
        seedling, field = seedling / _FILM_PACE, field / _FILM_PACE
        step_days /= _FILM_PACE if crop.harvest == "cut" else 1.0
    return Needs(
        seed=0.0 if bought else 1.0,
        tray=0.0 if bought else tray,
        field=field,
        seedling=seedling,
        step=step_days * rate,
        lots=lots,
        field_rate=rate,
        field_days=field / rate,
        whole_days=whole / rate,
    )


def _tray_need(crop: Crop) -> float:
    if crop.tray_days is None:
        return 0.0
    warm = crop.tray_temp_c if crop.tray_temp_c is not None else crop.maturity_temp_c
    light = crop.tray_dli_mol if crop.tray_dli_mol is not None else crop.maturity_dli_mol
    warmth = temperature_response(warm, crop.base_c, crop.optimum_c, crop.ceiling_c)
    return crop.tray_days * float(warmth * light_response(light, crop.light_half_mol))


def _lots(crop: Crop) -> tuple[int, float]:
    """Return the number of harvests and the reference days from one to the next."""
    if crop.harvest == "cut":
        cuts = crop.cuts or 1
        return cuts, (crop.regrowth_days or 0.0) if cuts > 1 else 0.0
    if crop.harvest == "pick":
        weeks = max(1, round((crop.picking_days or 0.0) / _PICK_EVERY_DAYS))
        return weeks, (crop.picking_days or 0.0) / weeks if weeks > 1 else 0.0
    return 1, 0.0
