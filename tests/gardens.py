"""The place that the tests' small gardens have in common: mild, moist, at 41° south; invented.

Found by its name from any folder of tests (``pythonpath`` in pyproject.toml).
"""

from __future__ import annotations

from sowplan.records.garden import Climate, Garden, Season, Site

HOME = Site("Try-out", -41.0, 147.0, "Australia/Hobart")
MILD = Climate(
    tmin=(12.0, 12.0, 10.0, 7.0, 5.0, 3.0, 2.0, 3.0, 5.0, 7.0, 9.0, 11.0),
    tmax=(24.0, 24.0, 22.0, 19.0, 16.0, 13.0, 12.0, 14.0, 16.0, 18.0, 20.0, 22.0),
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
