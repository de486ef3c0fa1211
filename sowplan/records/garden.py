"""The garden as the gardener wrote it: frozen records, SI units, no behaviour.

Each record that a later stage may have to complain about carries a ``Where``,
so that a problem found while planning still points into the garden file.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from sowplan.quantity import Units

Cover = Literal["none", "fleece", "tunnel", "glass"]
Raising = Literal["direct", "in trays", "bought plants"]
"""How a crop comes to its place: sown there, raised in trays, or bought and planted out."""


@dataclass(frozen=True)
class Where:
    """Where a record stands in its file."""

    file: str
    table: str  # "[[bed]] 2 (Long bed)"
    line: int | None


@dataclass(frozen=True)
class Site:
    """A place on earth: degrees north and east positive, elevation in metres.

    ``horizon`` is the skyline around the garden: (bearing, height) [°, °], by bearing.
    """

    name: str
    latitude: float
    longitude: float
    timezone: str
    elevation_m: float = 0.0
    horizon: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True)
class DayRecord:
    """One day of a weather record; temperatures in °C, rain in mm or None."""

    day: date
    tmin: float
    tmax: float
    rain: float | None = None


@dataclass(frozen=True)
class Climate:
    """Monthly normals or daily records; exactly one of ``tmin``/``tmax`` and ``records`` is set.

    ``tmin``, ``tmax`` [°C] and ``rain`` [mm] hold twelve values, January first.
    ``last_frost`` and ``first_frost`` are (month, day) at ``frost_risk``, a share of years;
    ``frost_free`` where the gardener has never seen a frost.
    """

    tmin: tuple[float, ...] = ()
    tmax: tuple[float, ...] = ()
    rain: tuple[float, ...] | None = None
    records: tuple[DayRecord, ...] = ()
    last_frost: tuple[int, int] | None = None
    first_frost: tuple[int, int] | None = None
    frost_risk: float = 0.10
    source: str = ""
    frost_free: bool = False


@dataclass(frozen=True)
class Season:
    """First and last day planned for, both included; weekdays are numbers, Monday 0.

    ``sow_on`` are those for sowing and planting out, ``harvest_on`` those for harvesting, any where
    empty, and on those in ``never_on`` nothing at all is done. ``away`` are the first and last day
    of each time in which the gardener is not there; ``watered`` those of them in which somebody
    waters, ``picked`` those in which they pick as well; ``hours_a_week`` the most work in any week,
    None where it does not matter.
    """

    start: date
    end: date
    sow_on: tuple[int, ...] = ()
    away: tuple[tuple[date, date], ...] = ()
    hours_a_week: float | None = None
    never_on: tuple[int, ...] = ()
    watered: tuple[tuple[date, date], ...] = ()
    picked: tuple[tuple[date, date], ...] = ()
    harvest_on: tuple[int, ...] = ()


@dataclass(frozen=True)
class Obstacle:
    """A wall or tree that shades: bearing of its middle [° from north], metres away and high."""

    bearing_deg: float
    distance_m: float
    height_m: float
    width_m: float


@dataclass(frozen=True)
class InTheWay:
    """What stands in a bed: a pipe, a post, a stone; ``label`` is its name, if it has one.

    ``x_m`` along the length and ``y_m`` across are the near corner of the rectangle around it,
    from the bed's corner; ``round`` for a circle within.
    """

    label: str
    x_m: float
    y_m: float
    length_m: float
    width_m: float
    round: bool = False


@dataclass(frozen=True)
class Indoors:
    """What is kept where a place stands indoors: its temperature, and the lamps over it.

    ``ppfd`` is the photon flux density at the leaves [µmol m⁻² s⁻¹], ``light_hours`` the lamps'
    hours a day; both None by a window, in daylight.
    """

    temperature_c: float
    light_hours: float | None = None
    ppfd: float | None = None


@dataclass(frozen=True)
class Bed:
    """A bed; ``edge_m`` is a bare margin on all sides, ``bearing_deg`` the way its length runs.

    ``cut_m`` is the length and width of the corner an L lacks, far along both sides;
    ``rounded_m`` the radius of its corners.
    """

    name: str
    length_m: float
    width_m: float
    depth_m: float
    where: Where
    edge_m: float = 0.0
    cover: Cover = "none"
    reservoir_l: float | None = None  # sub-irrigated where set
    bearing_deg: float = 90.0
    obstacles: tuple[Obstacle, ...] = ()
    trellis: Literal["none", "poleward"] = "none"
    keep_outs: tuple[InTheWay, ...] = ()
    cut_m: tuple[float, ...] = ()
    rounded_m: float = 0.0
    indoors: Indoors | None = None


@dataclass(frozen=True)
class Channel:
    """A nutrient-film channel with fixed holes."""

    name: str
    holes: int
    spacing_m: float
    where: Where
    cover: Cover = "none"
    indoors: Indoors | None = None


@dataclass(frozen=True)
class Pot:
    """A number of like pots."""

    name: str
    count: int
    volume_l: float
    where: Where
    cover: Cover = "none"
    indoors: Indoors | None = None


Place = Bed | Channel | Pot


@dataclass(frozen=True)
class Tray:
    """Cells to raise seedlings in: at the air's temperature and in the sky's light, unless given.

    ``ppfd`` is the photon flux density of the lamps [µmol m⁻² s⁻¹], ``light_hours`` their hours
    a day.
    """

    name: str
    cells: int
    where: Where
    temperature_c: float | None = None
    light_hours: float | None = None
    ppfd: float | None = None


@dataclass(frozen=True)
class Want:
    """So much of a crop, every so many days, from one date to another (both included).

    ``unit`` is the crop's own harvest unit, ``"kg"`` or ``"plants"``.
    ``priority`` weighs what is missing: 1 is usual, 2 counts double. ``places`` are the names of
    those it may grow in, empty where any will do; ``raising`` None where it may be sown in trays or
    direct, as suits the crop; ``sow_at_least`` the least plants of a sowing.
    """

    crop: str
    amount: float
    unit: str
    per_days: int
    start: date
    end: date
    where: Where
    priority: float = 1.0
    places: tuple[str, ...] = ()
    raising: Raising | None = None
    sow_at_least: int = 1


@dataclass(frozen=True)
class FixedSowing:
    """A sowing the gardener has decided on; of bought plants, the day they are planted out.

    ``place`` may be left to the plan (None), and so may its ``raising``; ``until`` is the last day
    it stands, None where it stays as long as it gives anything. ``even_so``: it stands although
    nothing may come of it. ``cover`` is laid over it while it stands in its bed, which is open.
    """

    crop: str
    day: date
    plants: int
    where: Where
    place: str | None = None
    raising: Raising | None = None
    until: date | None = None
    even_so: bool = False
    cover: Cover = "none"


@dataclass(frozen=True)
class Past:
    """What family stood in a bed, and until when it stood there."""

    place: str
    family: str
    until: date
    where: Where


@dataclass(frozen=True)
class Rest:
    """How long a family stays out of a bed it stood in, where not as the crop table has it.

    ``family`` is empty for all families; ``months`` 0 for no rest at all.
    """

    family: str
    months: float
    where: Where


@dataclass(frozen=True)
class Garden:
    """Everything one garden file says."""

    file: str
    site: Site
    climate: Climate
    season: Season
    beds: tuple[Bed, ...] = ()
    channels: tuple[Channel, ...] = ()
    pots: tuple[Pot, ...] = ()
    trays: tuple[Tray, ...] = ()
    wants: tuple[Want, ...] = ()
    sowings: tuple[FixedSowing, ...] = ()
    past: tuple[Past, ...] = ()
    rests: tuple[Rest, ...] = ()
    units: Units = "metric"
    week_start: int = 0
    paper: str = ""  # "a4" or "letter"; empty: as the units have it
    notes: tuple[str, ...] = field(default=())

    @property
    def places(self) -> tuple[Place, ...]:
        """All that crops grow in: beds, then channels, then pots, each in the file's order."""
        return (*self.beds, *self.channels, *self.pots)
