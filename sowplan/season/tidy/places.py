"""A finished season's places made tidy: no date, number or harvest changes, only where it stands.

The last step of planning. Families and crops are brought together, so that next year's rotation has
beds to turn to; sowings stand in as few strips as can be; within a bed kin adjoin and what is free
is in one.
"""

from __future__ import annotations

from collections.abc import Collection

from sowplan.season.search.standing import Standing
from sowplan.season.tidy.arranged import arrange
from sowplan.season.tidy.beds import Beds
from sowplan.season.tidy.families import bring_together
from sowplan.season.tidy.joined import join_strips
from sowplan.season.tidy.numbered import number_beds


def tidy(standing: Standing, but: Collection[int] = (), effort: float = 1.0) -> None:
    """Tidy the places of a season; what is missing, wasted and sown stays exactly what it is.

    Parameters
    ----------
    standing : Standing
        The season; changed in place.
    but : collection of int
        Numbers of batches that stay where they are, as the gardener's own sowings always do.
    effort : float
        Work to spend, as a multiple of the usual.
    """
    join_strips(standing, but)
    beds = Beds(standing, but)
    bring_together(beds, effort)
    beds.write()
    join_strips(standing, but)
    _arrange(standing, but)
    if join_strips(standing, but):  # that have come to lie side by side
        _arrange(standing, but)
    beds = Beds(standing, but)
    number_beds(beds)
    beds.write()
    standing.log.clear()


def _arrange(standing: Standing, but: Collection[int]) -> None:
    """Arrange the strips of each place anew."""
    beds = Beds(standing, but)
    arrange(beds)
    beds.write()
