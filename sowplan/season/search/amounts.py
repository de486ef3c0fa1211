"""A season to begin the search with: what the relaxed season sows, in whole rows, on real beds.

The relaxed season (`sowplan.season.bound.model`) says how many plants of each option would be best
if beds could be filled to the last unit. Rounded to whole rows and laid out in the order in which
they go in, most of it finds room as it is; what does not goes first at the next try.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sowplan.season.choices.instance import CropCase, Instance
from sowplan.season.search.standing import Standing

TRIES = 3
"""How often the amounts are laid out anew, what found no room before going first."""
WORTH_A_BATCH = 0.6
"""Share of the least batch from which on an amount is rounded up to it."""


class Wish(NamedTuple):
    """So many plants of an option to be sown, in the order in which they go in."""

    into: int
    crop: int
    option: int
    plants: int


def wishes_of(instance: Instance, amounts: Sequence[NDArray[np.float64]]) -> list[Wish]:
    """Return the amounts of the relaxed season in whole rows, none more than one place holds.

    What rounding takes from one sowing is added to the next of its crop.
    """
    found = []
    for crop, of_options in enumerate(amounts):
        case = instance.crops[crop]
        rows = case.options.rows
        used = [n for n in np.nonzero(of_options > 1e-6)[0].tolist() if rows[n][5] < 0]
        carry = 0.0
        for option in sorted(used, key=rows.__getitem__):
            carry += float(of_options[option])
            room = case.units.get(rows[option][3], [0])
            most = _most(instance, case, option)
            while most >= case.least[option] and carry >= WORTH_A_BATCH * case.least[option]:
                plants = _in_rows(room, carry, case.least[option], most)
                found.append(Wish(rows[option][1], crop, option, plants))
                carry -= plants
    return found


def _in_rows(room: list[int], amount: float, least: int, most: int) -> int:
    """Return about so many plants, such that the last row, hole or pot is full."""
    plants = min(max(round(amount), least), most)
    fewer, full = bisect_left(room, room[plants]) - 1, bisect_right(room, room[plants]) - 1
    nearest = min((full, fewer), key=lambda n: abs(n - amount))
    return min(nearest, most) if nearest >= least else plants


def _most(instance: Instance, case: CropCase, option: int) -> int:
    """Return the most plants that one place and one tray hold."""
    *_, group, tray, _ = case.options.rows[option]
    most = len(case.units.get(group, [0])) - 1
    if tray >= 0:
        cells = max(instance.trays[n].cells for n in instance.trays_of[tray])
        most = min(most, int(cells / case.cells_per_plant + 1e-9))
    return most


def sow_amounts(standing: Standing, amounts: Sequence[NDArray[np.float64]]) -> None:
    """Lay the relaxed season's amounts out on the beds; the best of a few tries stays."""
    wishes = wishes_of(standing.instance, amounts)
    left_out = [0] * len(wishes)
    best: tuple[float, list[int]] | None = None
    mark = len(standing.log)
    for _ in range(TRIES):
        order = sorted(range(len(wishes)), key=lambda n: (-left_out[n], wishes[n]))
        failed = _lay_out(standing, [wishes[n] for n in order])
        felt = standing.score().felt
        if best is None or felt < best[0]:
            best = (felt, order)
        standing.undo(mark)
        if not failed:
            break
        for at in failed:
            left_out[order[at]] += 1
    if best is not None:
        _lay_out(standing, [wishes[n] for n in best[1]])


def _lay_out(standing: Standing, wishes: list[Wish]) -> list[int]:
    """Sow what finds room, as much of each as does; return which did not find enough."""
    failed = []
    for at, wish in enumerate(wishes):
        whole = standing.place(wish.crop, wish.option, wish.plants)
        if whole is not None:
            standing.add(whole)
        elif not standing.split(wish.crop, wish.option, wish.plants, some=True):
            failed.append(at)
    return failed
