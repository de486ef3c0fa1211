"""Places that the tests' small gardens have in common: mild, moist, south and north; invented.

Found by its name from any folder of tests (``pythonpath`` in pyproject.toml).
"""

from __future__ import annotations

from sowplan.records.garden import Climate, Garden, Season, Site

HOME = Site("Try-out", -41.0, 147.0, "Australia/Hobart")
MILD = Climate(
    tmin=(12.0, 12.0, 10.0, 7.0, 5.0, 3.0, 2.0, 3.0, 5.0, 7.0, 9.0, 11.0),
    tmax=(24.0, 24.0, 22.0, 19.0, 16.0, 13.0, 12.0, 14.0, 16.0, 18.0, 20.0, 22.0),
)
NORTH = Site("Try-out", 51.5, -1.5, "Europe/London")
MARITIME = Climate(
    tmin=(1.5, 1.4, 2.8, 4.4, 7.2, 10.1, 12.2, 12.0, 9.8, 7.2, 3.9, 1.8),
    tmax=(7.4, 8.0, 10.8, 13.9, 17.3, 20.3, 22.6, 22.2, 19.0, 14.7, 10.5, 7.8),
)

PLACE = """\
[site]
name = "Home"
latitude = -41.3
longitude = 147.1
timezone = "Australia/Hobart"
[climate]
tmin = [12, 12, 10, 7, 5, 3, 2, 4, 5, 7, 9, 11]
tmax = [24, 25, 22, 19, 16, 13, 12, 14, 16, 18, 20, 22]
"""
"""Such a place as a garden file tells it."""

YEAR = PLACE + "[season]\nstart = 2026-09-01\nend = 2027-08-31\n"
"""The same with a season, spring to spring; what comes next may still belong to the season."""


def garden_of(season: Season, **tables: object) -> Garden:
    """Return a garden at `HOME`, with beds, wants and what else a test gives it."""
    return Garden(file="garden.toml", site=HOME, climate=MILD, season=season, **tables)


def northern(season: Season, **tables: object) -> Garden:
    """Return such a garden at `NORTH`."""
    return Garden(file="garden.toml", site=NORTH, climate=MARITIME, season=season, **tables)
