"""One crop: the columns of ``crops/columns.csv``, typed.

The table of columns drives reading, checking and documentation; the class is
kept beside it so that an editor knows the names. A test holds the two equal.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

MONTH_DAYS = 30.44  # of a mean year
POTTED_ON = "fruiting"
"""Crops of this group are potted on where they outgrow their cell (common practice, no source)."""


@dataclass(frozen=True)
class Crop:
    """A crop, or a variety group that grows alike. Units are in the names.

    Germination by the published table travels along in ``emergence_c`` and
    ``emergence_table_days`` (equal lengths; ``inf`` where nothing emerges);
    both are empty where the row's own germination figures apply. Where a garden file gives the
    family another rest (``[[rotation]]``), ``table_gap_months`` is that of the crop table.
    """

    key: str
    name: str
    group: Literal["leaf", "root", "legume", "allium", "brassica", "fruiting", "herb"]
    botanical_name: str
    family: str
    spacing_cm: float
    row_spacing_cm: float
    sowing_depth_mm: float
    start: Literal["raised", "direct", "direct-first", "either"]
    seeds_per_cell: int
    plants_per_cell: int
    tray_days: float | None
    tray_temp_c: float | None
    tray_dli_mol: float | None
    maturity_days: float
    maturity_from: Literal["sowing", "transplanting"]
    maturity_temp_c: float
    maturity_dli_mol: float
    harvest: Literal["once", "cut", "pick"]
    holding_days: float
    cuts: int | None
    regrowth_days: float | None
    picking_days: float | None
    keeps_days: float
    harvest_unit: Literal["head", "bunch", "piece", "kg"]
    units_per_plant: float
    kg_per_plant: float
    base_c: float
    optimum_c: float
    ceiling_c: float
    killing_frost_c: float
    light_half_mol: float
    sun_hours: float
    bolt_daylength_h: float | None
    bolt_effect: Literal["bolts", "bulbs"] | None
    bolt_heat_c: float | None
    emergence_table: str | None
    germination_min_c: float
    germination_optimum_c: float
    germination_max_c: float
    emergence_days: float
    germination_percent: float
    kc_initial: float
    kc_mid: float
    kc_end: float
    rooting_depth_m: float
    height_m: float
    spread_cm: float
    pot_litres: float
    channel: bool
    support: Literal["none", "canes", "trellis"]
    rotation_gap_months: float
    source: str
    note: str = ""
    also: str = ""
    chill_days: float | None = None
    bolt_chill_days: float | None = None
    night_c: float | None = None
    stored: Literal["weeks", "months"] | None = None
    unpicked_days: float | None = None
    watered_days: int | None = None
    emergence_c: tuple[float, ...] = ()
    emergence_table_days: tuple[float, ...] = ()
    table_gap_months: float | None = None

    @property
    def direct_first(self) -> bool:
        """Whether it is usually sown where it grows, and raised only for want of that."""
        return self.start == "direct-first"

    @property
    def usually_raised(self) -> bool:
        """Whether it is raised in a tray where there is one and nothing else is said."""
        return self.start in ("raised", "either")

    @property
    def rotation_gap_days(self) -> int:
        """For how many days its family rests from a bed after it, in whole days."""
        return round(self.rotation_gap_months * MONTH_DAYS)

    @property
    def tender(self) -> bool:
        """Whether an ordinary light frost kills it: one of -1 °C (common practice, no source)."""
        return self.killing_frost_c >= -1.0
