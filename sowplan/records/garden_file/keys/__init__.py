"""Every key of a garden file: what it takes, its range, what it means.

These tables drive the reader, its messages and the reference that ``sowplan check --keys`` prints.
To add a key, add a row to its table here and take its value where the records are built
(``garden_file.build``).
"""

from sowplan.records.garden_file.keys.places import BED, CHANNEL, LIGHT, OBSTACLES, POT, TRAY
from sowplan.records.garden_file.keys.row import Key, Table
from sowplan.records.garden_file.keys.season import SEASON
from sowplan.records.garden_file.keys.site import CLIMATE, SITE, TOP
from sowplan.records.garden_file.keys.wants import PAST, ROTATION, SOWING, WANT

__all__ = ["CLIMATE", "NESTED", "SEASON", "SITE", "TABLES", "TOP", "Key", "Table"]

TABLES: tuple[Table, ...] = (
    SITE,
    CLIMATE,
    SEASON,
    BED,
    CHANNEL,
    POT,
    TRAY,
    WANT,
    SOWING,
    PAST,
    ROTATION,
)
NESTED: dict[str, Table] = {"obstacles": OBSTACLES, "light": LIGHT}
