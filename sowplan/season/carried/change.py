"""A garden at the change of its seasons, and what of a plan goes on beyond it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from sowplan.records.crop import Crop
from sowplan.records.garden import Garden, Season
from sowplan.season.plan import Planting
from sowplan.season.revise.stood import State

DAY = timedelta(days=1)
SOON_DAYS = 14
"""What is wanted again so soon is not cleared in between (common practice, no source)."""
LAST_DAYS = 7
"""What is cleared in so many last days of a season may be so because the plan ends there."""


@dataclass(frozen=True)
class Change:
    """A garden at the change of its seasons: ``wanted`` has, by crop, its days in the next."""

    garden: Garden
    crops: dict[str, Crop]
    season: Season
    state: State
    wanted: dict[str, list[tuple[date, date]]]

    @property
    def day(self) -> date:
        """The first day of the next season."""
        return self.season.start

    def goes_on(self, p: Planting) -> bool:
        """Return whether a batch is wanted again, or still, about when the plan has it cleared."""
        spans = self.wanted.get(p.crop, ())
        gone = max(p.cleared, self.day)
        return any(a <= gone + timedelta(days=SOON_DAYS) and gone <= b for a, b in spans)

    def is_open(self, p: Planting) -> bool:
        """Return whether the plan's day of clearing says nothing of how long a batch gives.

        It goes on, or is cut or picked and cleared so soon after the change, and in the plan's last
        days, that the plan may have had it go for its own end only.
        """
        again = self.crops[p.crop].harvest != "once"
        soon = p.cleared <= self.day + timedelta(days=LAST_DAYS)
        return p.stands_on or (again and soon and self.at_its_end(p))

    def at_its_end(self, p: Planting) -> bool:
        """Return whether the plan clears a batch in its last days: not for what follows on it."""
        return p.cleared > self.garden.season.end - timedelta(days=LAST_DAYS)

    def stands(self, p: Planting) -> bool:
        """Return whether a batch stands on the day of change, or would if the plan went on."""
        if p.cleared > self.day or p.stands_on:
            return True
        late = p.cleared >= self.day - timedelta(days=LAST_DAYS)
        return late and self.at_its_end(p) and self.goes_on(p)
