"""The plan: one frozen value from which everything downstream is drawn.

It carries what the outputs need of the garden, the crops and the sky, so that
nothing after it has to read a garden file or compute growth again.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TYPE_CHECKING, Literal

from sowplan.records.garden import Indoors, InTheWay, Raising

if TYPE_CHECKING:
    from sowplan.bed.layout import Strip

PlaceKind = Literal["bed", "channel", "pot"]

STOPPED = "; stopped before its time, the best so far"
"""Said after the method of a plan whose search was ended by Ctrl-C."""
UNREASONED = "; stopped before all that is missing had its reason looked into"
"""Said after the method of a plan that is whole but for that."""
UNBOUNDED = "what no sowing at all can serve is missing from every plan; more was not worked out"
"""How the bound of a plan was had where Ctrl-C came before it was known."""

LONGEST_LABEL = 24
"""What stands before a reason's colon and is longer is part of the reason itself."""


@dataclass(frozen=True)
class PlanSite:
    """Where the plan is for; ``plan_id`` names the garden's season and outlives its revisions."""

    plan_id: str
    name: str
    latitude: float
    longitude: float
    timezone: str
    elevation_m: float
    units: Literal["metric", "imperial"]
    start: date
    end: date
    week_start: int  # Monday 0
    frost_risk: float
    last_frost: date | None  # first such date in the season, None where frost-free or always frozen
    first_frost: date | None
    frost_note: str  # "estimated from monthly means", "from 70 recorded years", "no frost expected"
    work_on: tuple[int, ...] = ()  # weekdays the gardener works on, Monday 0; empty: any
    away: tuple[tuple[date, date], ...] = ()  # first and last day of each time nobody is there
    hours_a_week: float | None = None  # of work, at most; None: as many as it takes
    never_on: tuple[int, ...] = ()  # weekdays on which nothing is done
    watered: tuple[tuple[date, date], ...] = ()  # those times away in which somebody waters
    picked: tuple[tuple[date, date], ...] = ()  # and in which they pick as well, for themselves
    harvest_on: tuple[int, ...] = ()  # the only weekdays on which is harvested; empty: any
    paper: str = ""  # of the sheets, where the gardener names one: "a4" or "letter"


@dataclass(frozen=True)
class SkyDay:
    """One day of the season's sky, for the pictures and the water."""

    day: date
    daylength_h: float
    tmin_c: float
    tmax_c: float
    dli_mol: float
    frost_chance: float  # share of years with a frost on this very day or in its week
    rain_mm: float | None
    eto_mm: float | None = None  # reference evapotranspiration in the open; None in older plans


@dataclass(frozen=True)
class PlanPlace:
    """A bed, channel or set of pots as the outputs need it; lengths 0 where they do not apply."""

    name: str
    kind: PlaceKind
    length_m: float = 0.0
    width_m: float = 0.0
    depth_m: float = 0.0
    edge_m: float = 0.0
    bearing_deg: float = 90.0
    cover: str = "none"
    reservoir_l: float | None = None
    holes: int = 0
    hole_spacing_m: float = 0.0
    count: int = 0
    volume_l: float = 0.0
    light: tuple[float, ...] = ()  # months' shares of the open sky's light; empty where all of it
    keep_outs: tuple[InTheWay, ...] = ()
    cut_m: tuple[float, ...] = ()  # the corner an L lacks, along and across
    rounded_m: float = 0.0  # radius of the corners
    indoors: Indoors | None = None  # what is kept there; None outdoors


@dataclass(frozen=True)
class PlanTray:
    """A tray or shelf of cells."""

    name: str
    cells: int


@dataclass(frozen=True)
class PlanCrop:
    """What the outputs need to know of a crop."""

    key: str
    name: str
    botanical_name: str
    family: str
    group: str
    harvest: Literal["once", "cut", "pick"]
    harvest_unit: str
    units_per_plant: float
    kg_per_plant: float
    spacing_cm: float
    row_spacing_cm: float
    sowing_depth_mm: float
    seeds_per_cell: int
    plants_per_cell: int
    germination_percent: float
    spread_cm: float
    height_m: float
    tender: bool
    support: str
    kc_initial: float
    kc_mid: float
    kc_end: float
    rooting_depth_m: float
    pot_litres: float
    keeps_days: float = 0.0  # on the shelf after harvest

    def units_in(self, unit: str) -> float:
        """Return how many of the crop's harvest units are in one unit of a want."""
        if unit == "plants":
            return self.units_per_plant
        if unit == "kg" and self.harvest_unit != "kg":
            return self.units_per_plant / self.kg_per_plant
        return 1.0


HARVEST_DAYS = ("harvest_start", "harvest_start_early", "harvest_start_late", "harvest_end")
"""A planting's days of harvest; of one that stands in vain, all the day on which it is cleared."""


@dataclass(frozen=True)
class PlanLot:
    """One harvest: how much, in the crop's harvest unit, and when it is fit."""

    ready: date
    last: date
    amount: float


@dataclass(frozen=True)
class Stood:
    """How many plants of a planting there were, and where, until the day some of them were lost."""

    until: date
    plants: int
    slots: tuple[int, ...]


@dataclass(frozen=True)
class Planting:
    """One batch from seed to cleared ground; of bought plants, from the day they are planted out.

    ``id`` stays the same through revisions. A bed planting takes ``strip_length_m`` from
    ``strip_start_m`` of the bed's length (measured inside the edge) in ``rows`` rows, across the
    bed or ``along`` it, told by the fields of `sowplan.bed.layout.Strip`; a channel or pot planting
    takes ``slots`` (hole or pot numbers, from 1).
    """

    id: str
    crop: str
    place: str
    kind: PlaceKind
    plants: int
    sow: date
    emergence: date
    planting_out: date | None
    harvest_start: date
    harvest_start_early: date
    harvest_start_late: date
    harvest_end: date
    cleared: date  # first day the place is free again
    tray: str | None
    cells: int
    seeds: int
    fixed: bool
    strip_start_m: float = 0.0
    strip_length_m: float = 0.0
    rows: int = 0
    per_row: tuple[int, int] = (0, 0)
    row_pitch_m: float = 0.0
    row_lead_m: float = 0.0
    slots: tuple[int, ...] = ()
    lots: tuple[PlanLot, ...] = ()
    cover: str = "none"  # laid over it alone while it stands, in a bed in the open
    lost: int = 0  # plants lost since, which are not among ``plants`` any more
    stood: tuple[Stood, ...] = ()  # how it stood before each loss, the first one first
    stands_on: bool = False  # cleared only because the season ends: it would go on giving
    overgrown: tuple[date, ...] = ()  # days on which what nobody was there to bring in is taken off
    along: bool = False  # its rows run along the bed, not across it
    in_vain: str = ""  # why nothing comes of it, where it stands there even so; it has no lots then
    held: str = ""  # why it waits for its place in its tray, potted on, as the gardener has it

    @property
    def raising(self) -> Raising:
        """How it came, or comes, to its place."""
        if self.tray is not None:
            return "in trays"
        return "direct" if self.planting_out is None else "bought plants"

    def on(self, day: date) -> Planting:
        """Return it as it stood on a day: what was done to it by then was done to all of it."""
        then = next((one for one in self.stood if day < one.until), None)
        if then is None:
            return self
        # Lost while still in its tray, it may have been given other pots or holes since.
        there = self.planting_out is not None and self.planting_out < then.until
        return replace(self, plants=then.plants, slots=then.slots if there else self.slots)

    @property
    def occupies_from(self) -> date:
        """The day from which it takes its place: planted out, or sown direct."""
        return self.planting_out or self.sow

    @property
    def last_day(self) -> date:
        """The last day on which it has anything to give; in vain, on which it stands."""
        return self.cleared - timedelta(days=1) if self.in_vain else self.harvest_end

    @property
    def bought(self) -> bool:
        """Whether its plants are bought; it is sown, up and planted out on one day then."""
        return self.raising == "bought plants"

    @property
    def strip(self) -> Strip:
        """Its rows as `sowplan.bed.strips.positions` takes them, with all the places in them."""
        from sowplan.bed.layout import Strip

        odd, even = self.per_row
        places = (self.rows + 1) // 2 * odd + self.rows // 2 * even
        sides = (self.row_pitch_m, self.row_lead_m, self.strip_length_m)
        return Strip(self.rows, self.per_row, *sides, places, self.along)

    @property
    def sowing(self) -> tuple[str, date, Raising]:
        """The sowing it is of: what is sown, or bought, of a crop on one day and in one way."""
        return self.crop, self.sow, self.raising


@dataclass(frozen=True)
class WantPeriod:
    """One period of one want: what is wanted, met, and why the rest is not.

    ``unit`` is the want's unit; ``met`` <= ``wanted``. ``served_by`` names planting ids and
    amounts in that unit.
    """

    want: int  # number of the [[want]] table, from 0
    crop: str
    start: date
    end: date  # last day, included
    unit: str
    wanted: float
    met: float
    why: str = ""
    served_by: tuple[tuple[str, float], ...] = ()
    priority: float = 1.0  # of the want: what is missing counts so many times


@dataclass(frozen=True)
class OwnGone:
    """A sowing of the gardener's own that is no more since a day, and is not sown again for that.

    ``by_diary``: because the diary has it lost, not sown or cleared; where it says so no longer,
    that was a slip, and the sowing is there again.
    """

    planting: Planting
    day: date
    by_diary: bool


@dataclass(frozen=True)
class EndedEvent:
    """An event that an earlier calendar of the season had, and that is no more.

    Kept so that every later calendar can say so, to a phone that missed some of them too.
    """

    uid: str
    heading: str  # what kind of work it was
    title: str
    day: date
    last: date  # included
    done: bool  # what was done stays done, whatever became of it


@dataclass(frozen=True)
class Gain:
    """What one thing more would bring a want that goes short: ``brings`` in its ``unit``.

    Found by going on from the finished plan with it; 0: nothing. What serves the whole garden, a
    bed, say, brings all that is told of it to several wants together.
    """

    want: int
    what: str  # "1 m² more of a bed like Long bed"
    brings: float
    unit: str
    in_all: float = 0.0  # to all wants together, share of all that is wanted


@dataclass(frozen=True)
class Quality:
    """How good the plan is. Shares are of all that is wanted, priorities counted in.

    ``missing_share_bound`` is a proven lower bound of the missing share of any plan under the
    same rules; ``bound_by`` says how it was had.
    """

    wanted: float
    missing: float
    missing_share: float
    missing_share_bound: float
    bound_by: str
    wasted: float
    wasted_share: float
    sowings: int
    proven: bool
    method: str


@dataclass(frozen=True)
class Plan:
    """A finished season.

    ``revision`` counts how often it was planned again from a day on, the last time from
    ``revised``; ``retired`` are ids of plantings dropped on the way, never given again, and
    ``own_gone`` those of them that the gardener had settled. ``ended`` are events of the calendars
    before that are no more.
    """

    version: int
    site: PlanSite
    sky: tuple[SkyDay, ...]
    places: tuple[PlanPlace, ...]
    trays: tuple[PlanTray, ...]
    crops: tuple[PlanCrop, ...]
    plantings: tuple[Planting, ...]
    wants: tuple[WantPeriod, ...]
    quality: Quality
    notes: tuple[str, ...] = ()
    gains: tuple[Gain, ...] = ()  # by want, the most useful first
    safety: float = 0.5  # share of years in which harvests are there on the planned day
    revision: int = 0
    revised: date | None = None
    retired: tuple[str, ...] = ()
    own_gone: tuple[OwnGone, ...] = ()
    ended: tuple[EndedEvent, ...] = ()

    def __hash__(self) -> int:
        """Hash by what tells one plan from most others: plans are large, and asked for often."""
        return hash((self.site.plan_id, self.revision, self.revised, len(self.plantings)))

    def crop(self, key: str) -> PlanCrop:
        """Return the crop of a key; ``KeyError`` where the plan has none."""
        return {crop.key: crop for crop in self.crops}[key]

    def place(self, name: str) -> PlanPlace:
        """Return the place of a name; ``KeyError`` where the plan has none."""
        return {place.name: place for place in self.places}[name]


def labelled(label: str, words: str) -> str:
    """Return a reason as it stands in ``WantPeriod.why``: what is short, then how."""
    return f"{label}: {words}"


def label_of_why(why: str) -> str:
    """Return what is short in a word or two; empty where a reason has no such word."""
    label, colon, _ = why.partition(": ")
    return label if colon and len(label) <= LONGEST_LABEL else ""
