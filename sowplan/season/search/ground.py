"""The ground of a season: what is free of its places, trays and hours, and where a batch fits.

Nothing here knows what is wanted. A batch stands in one place for a span of days, takes cells of a
tray before that, keeps to the turns of its family, and makes work in some weeks; `Ground.place`
finds where all of that can be.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from typing import NoReturn

import numpy as np
from numpy.typing import NDArray

from sowplan.season.choices.instance import Batch, Instance
from sowplan.season.search.range_low import RangeLow
from sowplan.season.search.room import Room, widest
from sowplan.season.search.turns import in_turn

LOOK_AT = 24
"""Most places in which a strip is looked for, the fullest that could hold it first."""


class Ground:
    """What a season's batches take of places, trays, turns and hours, and what they leave free."""

    def __init__(self, instance: Instance):
        self.instance = instance
        self.rooms = [Room(spot.size, spot.closed) for spot in instance.spots]
        self.free = _by_day([spot.open for spot in instance.spots], instance.days)
        self.cells = _by_day([tray.cells for tray in instance.trays], instance.days)
        self.room_left = RangeLow(self.free)
        self.cells_left = RangeLow(self.cells)
        self.turns: dict[tuple[int, int], list[tuple[int, int, int, int]]] = {}
        self.load: dict[int, float] = {}  # minutes of work by week
        # Where a family is out of its turns, since a stand that went had begun one; and where it
        # is by what is settled, which is the gardener's to know.
        self.broken: set[tuple[int, int]] = set()
        self._settled: set[tuple[int, int]] = set()
        self._stood: dict[tuple[int, int], int] = {}  # until when a family was in a place before
        for stay in instance.stays:
            where = (stay.spot, stay.family)
            self._stood[where] = max(stay.until, self._stood.get(where, stay.until))
        self._jobs: list[dict[int, list[tuple[int, float, float]]]] = [{} for _ in instance.crops]
        self._spots = {g: _Among(s, self.free) for g, s in instance.spots_of.items()}
        self._trays = {g: _Among(t, self.cells) for g, t in instance.trays_of.items()}

    def __reduce_ex__(self, protocol: object) -> NoReturn:
        """Refuse to be copied or pickled: parts of it look at the same arrays, copies would not."""
        raise TypeError(
            f"a {type(self).__name__} cannot be copied or pickled: let its batches stand in a new "
            "one (`sowplan.season.sought.standing_of`)."
        )

    def take(self, number: int, batch: Batch) -> None:
        """Let a batch take its ground, cells, turn and hours."""
        crop = self.instance.crops[batch.crop]
        sow, into, clear, *_ = crop.options.rows[batch.option]
        self.rooms[batch.spot].add(into, clear, batch.mask, number)
        self.free[batch.spot, max(into, 0) : max(clear, 0)] -= batch.mask.bit_count()
        self.room_left.changed.add(batch.spot)
        if batch.tray >= 0:
            self.cells[batch.tray, max(sow, 0) : max(into, 0)] -= batch.cells
            self.cells_left.changed.add(batch.tray)
        turn = (into, clear, crop.gap_days, number)
        self.turns.setdefault((batch.spot, crop.family), []).append(turn)
        self._look_at_turns(batch, crop.family)
        if crop.minutes is not None:
            self._work(batch, 1)

    def leave(self, number: int, batch: Batch) -> None:
        """Let a batch leave its ground, cells, turn and hours free again."""
        crop = self.instance.crops[batch.crop]
        sow, into, clear, *_ = crop.options.rows[batch.option]
        self.rooms[batch.spot].remove(number)
        self.free[batch.spot, max(into, 0) : max(clear, 0)] += batch.mask.bit_count()
        self.room_left.changed.add(batch.spot)
        if batch.tray >= 0:
            self.cells[batch.tray, max(sow, 0) : max(into, 0)] += batch.cells
            self.cells_left.changed.add(batch.tray)
        self.turns[batch.spot, crop.family].remove((into, clear, crop.gap_days, number))
        self._look_at_turns(batch, crop.family)
        if crop.minutes is not None:
            self._work(batch, -1)

    # -- where a batch fits

    def place(self, crop: int, option: int, plants: int, spots=None) -> Batch | None:
        """Return a batch with room, cells and rotation found for it; None where there is none."""
        case = self.instance.crops[crop]
        sow, into, clear, group, kind, fixed = case.options.rows[option]
        fixed = fixed >= 0
        room = case.units.get(group)
        if room is None or not 0 < plants < len(room):
            return None
        if plants < case.least[option] and not fixed:
            return None
        if case.minutes is not None and not fixed and not self.has_time(crop, option, plants):
            return None
        tray, cells = -1, 0
        if kind >= 0:
            cells = case.cells(plants)
            tray = self.tray_for(kind, sow, into, cells)
            if tray < 0:
                return None
        units = room[plants]
        for spot in self._roomy(group, into, clear, units) if spots is None else spots:
            if not fixed and not self.rotates(spot, crop, into, clear):
                continue
            mask = self.mask_for(spot, case, into, clear, plants, units)
            if mask:
                return Batch(crop, option, plants, spot, mask, tray, cells, fixed)
        return None

    def largest(self, crop: int, option: int, plants: int, spots=None) -> Batch | None:
        """Return the largest part of a sowing that fits in one piece, the rest being one too."""
        case = self.instance.crops[crop]
        *_, group, _, fixed = case.options.rows[option]
        room = case.units.get(group)
        least = 1 if fixed >= 0 else case.least[option]
        if room is None or plants < 2 * least:
            return None
        units, spot = self._widest(crop, option, room[least], spots)
        many = min(self._plants(crop, option, units), plants - least)
        if many < plants - least:
            many = bisect_left(room, room[many]) - 1 if _begun(room, many) else many
        if many < least:
            return None
        return self.place(crop, option, many, [spot])

    def most(self, crop: int, option: int) -> int:
        """Return the most plants of a sowing that find room in one piece, about.

        No more do; fewer than a batch must have stand for none. Of very many places it is not
        looked for.
        """
        case = self.instance.crops[crop]
        group = case.options.rows[option][3]
        room = case.units.get(group)
        if room is None:
            return 0
        if len(self._spots[group].numbers) > LOOK_AT:
            return len(room) - 1
        units, _ = self._widest(crop, option, room[case.least[option]])
        return self._plants(crop, option, units) if units else 0

    def _widest(self, crop: int, option: int, least: int, spots=None) -> tuple[int, int]:
        """Return the most units a sowing may have in one piece, and their place; (0, 1) if none."""
        _, into, clear, group, _, fixed = self.instance.crops[crop].options.rows[option]
        best = (0, -1)
        for spot in self._roomy(group, into, clear, least) if spots is None else spots:
            free = self.rooms[spot].free(into, clear)
            if (free.bit_count(), -spot) <= best:
                continue
            units = widest(free, 1, self.instance.spots[spot].whole)
            if (units, -spot) > best and (fixed >= 0 or self.rotates(spot, crop, into, clear)):
                best = (units, -spot)
        return best[0], -best[1]

    def _plants(self, crop: int, option: int, units: int) -> int:
        """Return the most plants of a sowing for which so much room and the cells are there."""
        case = self.instance.crops[crop]
        sow, into, _, group, kind, _ = case.options.rows[option]
        many = bisect_right(case.units[group], units) - 1
        first = max(sow, 0)
        if kind >= 0 and first < into:
            left = int(self._trays[kind].least(first, into).max())
            many = min(many, int(left / case.cells_per_plant + 1e-9))
        return many

    def mask_for(self, spot: int, case, into: int, clear: int, plants: int, units: int) -> int:
        """Return units of a place that are free for the whole stay; 0 where too few are."""
        room = self.rooms[spot]
        if self.instance.spots[spot].whole:
            end = self.instance.spots[spot].poleward
            return room.strip(into, clear, units, end if case.high else -end, case.high and end)
        one = case.units[self.instance.spots[spot].group][1]
        # Holes: so many adjoining ones a plant. Pots: as many plants a pot as it feeds.
        return room.scattered(into, clear, units // one, one)

    def _roomy(self, group: int, into: int, clear: int, units: int) -> list[int]:
        """Return places that have so much room in all, the fullest first."""
        among = self._spots[group]
        if len(among.numbers) == 1:
            return among.numbers
        least = among.least(max(into, 0), max(clear, into + 1, 1))
        fit = (least >= units).nonzero()[0]
        if len(fit) > 1:
            fit = fit[least[fit].argsort(kind="stable")[:LOOK_AT]]
        return among.array[fit].tolist()

    def tray_for(self, group: int, sow: int, into: int, cells: int) -> int:
        """Return the fullest tray of a group that has so many cells all the while; -1 if none."""
        among = self._trays[group]
        first = max(sow, 0)
        if first >= into:
            return among.numbers[0]
        best = (-1, 0)
        for tray, left in zip(among.numbers, among.least(first, into).tolist(), strict=True):
            if left >= cells and (best[0] < 0 or left < best[1]):
                best = (tray, left)
        return best[0]

    def cells_free(self, group: int, sow: int, into: int) -> int:
        """Return the most cells that one tray of a group has free from sowing to planting out."""
        first = max(sow, 0)
        left = self.cells[self.instance.trays_of[group], first : max(into, first + 1)]
        return int(left.min(axis=1).max())

    def rotates(self, spot: int, crop: int, into: int, clear: int) -> bool:
        """Return whether a crop's family may go into a place on a day.

        It keeps to its turns (`in_turn`), and waits its gap after what stood there before the
        season.
        """
        instance = self.instance
        if not instance.spots[spot].whole:
            return True  # channels and pots are washed out and filled anew
        case = instance.crops[crop]
        before = self._stood.get((spot, case.family))
        if before is not None and into <= before + case.gap_days:
            return False
        if case.gap_days <= 0 or self._one_turn:
            return True
        stands = [turn[:3] for turn in self.turns.get((spot, case.family), [])]
        return in_turn([*stands, (into, clear, case.gap_days)], instance.turn_days)

    @property
    def _one_turn(self) -> bool:
        """Whether the season is too short for any family to have two turns in it."""
        return self.instance.gone + self.instance.days <= self.instance.turn_days

    def _look_at_turns(self, batch: Batch, family: int) -> None:
        """Keep account of whether a family keeps to its turns where a batch came or went."""
        if self._one_turn or not self.instance.spots[batch.spot].whole:
            return
        where = (batch.spot, family)
        if in_turn([turn[:3] for turn in self.turns[where]], self.instance.turn_days):
            self.broken.discard(where)
        elif batch.fixed:
            self._settled.add(where)
        elif where not in self._settled:
            self.broken.add(where)

    # -- hours

    def jobs(self, crop: int, option: int) -> list[tuple[int, float, float]]:
        """Return (week, minutes a plant, minutes to begin) of each job of an option's batch."""
        known = self._jobs[crop].get(option)
        if known is None:
            week = self.instance.week
            jobs = self.instance.crops[crop].jobs(option)
            known = [(week(day), each, begin) for day, each, begin in jobs if day >= 0]
            self._jobs[crop][option] = known
        return known

    def has_time(self, crop: int, option: int, plants: int) -> bool:
        """Return whether the gardener has the hours for one more batch."""
        most = self.instance.week_minutes
        if most is None:
            return True
        more: dict[int, float] = {}
        for week, each, begin in self.jobs(crop, option):
            more[week] = more.get(week, 0.0) + each * plants + begin
        return all(self.load.get(week, 0.0) + some <= most + 1e-6 for week, some in more.items())

    def _work(self, batch: Batch, sign: int) -> None:
        """Add a batch's minutes to its weeks, or take them away."""
        for week, each, begin in self.jobs(batch.crop, batch.option):
            self.load[week] = self.load.get(week, 0.0) + sign * (each * batch.plants + begin)


class _Among:
    """Some places or trays, and what each has left at least over a span of days."""

    def __init__(self, numbers: list[int], left: NDArray[np.int32]):
        self.numbers = numbers
        self.array = np.array(numbers)
        adjoining = numbers == list(range(numbers[0], numbers[-1] + 1))
        # A slice is looked at in place, where a list of columns would be copied first.
        self._columns = slice(numbers[0], numbers[-1] + 1) if adjoining else self.array
        self._days = left.T

    def least(self, first: int, until: int) -> NDArray[np.int32]:
        """Return the least that each has left from one day to before another."""
        return np.minimum.reduce(self._days[first:until, self._columns])


def _by_day(sizes: list[int], days: int) -> NDArray[np.int32]:
    """Return what each place has, for every day, shape (places, days); a day lies in one piece."""
    return np.repeat(np.array(sizes, np.int32)[None, :], days, axis=0).T


def _begun(room: list[int], plants: int) -> bool:
    """Return whether so many plants leave their last row, hole or pot partly empty."""
    return plants + 1 < len(room) and room[plants + 1] == room[plants]
