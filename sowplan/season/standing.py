"""A season under construction: which batches stand, what they leave free, what they serve.

Every change can be taken back, so that a search may try things out. A season is never in a state
that could not be sown: room, cells and rotation hold after each change.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sowplan.season.fairness import Felt
from sowplan.season.instance import Batch, Instance, Options
from sowplan.season.range_low import RangeLow
from sowplan.season.room import Room, runs
from sowplan.season.service import Orders
from sowplan.season.turns import in_turn

LOOK_AT = 24
"""Most places in which a strip is looked for, the fullest that could hold it first."""
MOST_PARTS = 4
"""Most places or strips over which one sowing is spread when it does not fit in one."""


@dataclass(frozen=True)
class Score:
    """What a season is judged by, in this order, and what is plainly ``missing`` [want-weeks].

    ``felt`` is the missing, large parts of one want counting more (`sowplan.season.fairness`);
    then what is grown for nothing [want-weeks], then the number of sowings, then over how many
    strips and places they are spread. What is sown of a crop on one day is one sowing, be it in
    trays or direct.
    """

    felt: float
    wasted: float
    sowings: int
    missing: float
    batches: int = 0

    def better(self, other: Score) -> bool:
        """Return whether this is better, differences in the last digits apart."""
        if abs(self.felt - other.felt) > 1e-7:
            return self.felt < other.felt
        if abs(self.wasted - other.wasted) > 1e-7:
            return self.wasted < other.wasted
        return (self.sowings, self.batches) < (other.sowings, other.batches)


class Standing:
    """The batches of a season, and what follows from them."""

    def __init__(self, instance: Instance):
        self.instance = instance
        self.batches: dict[int, Batch] = {}
        self.of_crop: list[dict[int, Batch]] = [{} for _ in instance.crops]
        self.grown = [0.0 for _ in instance.crops]
        self.total = [_total(case.options) for case in instance.crops]
        self.rooms = [Room(spot.size, spot.closed) for spot in instance.spots]
        size = np.array([spot.open for spot in instance.spots], np.int64)
        self.free = _by_day(size, instance.days)
        cells = np.array([tray.cells for tray in instance.trays], np.int64)
        self.cells = _by_day(cells, instance.days)
        self.room_left = RangeLow(self.free)
        self.cells_left = RangeLow(self.cells)
        self.turns: dict[tuple[int, int], list[tuple[int, int, int, int]]] = {}
        self._stood: dict[tuple[int, int], int] = {}  # until when a family was in a place before
        for stay in instance.stays:
            where = (stay.spot, stay.family)
            self._stood[where] = max(stay.until, self._stood.get(where, stay.until))
        self.orders = [Orders(crop) for crop in instance.crops]
        self.log: list[tuple[str, int, Batch, tuple | None]] = []
        self.sowings = 0
        self.spread = 0  # batches of the free sowings
        # By crop and sowing: how many free and how many fixed batches it has.
        self.sown: list[dict[int, list[int]]] = [{} for _ in instance.crops]
        self._next = 0
        self._numbers: list[int] | None = None
        crops = len(instance.crops)
        self.feeling = [Felt(crop) for crop in instance.crops]
        self._served = [(0.0, 0.0, [])] * crops
        self._missing, self._wasted, self._felt = [0.0] * crops, [0.0] * crops, [0.0] * crops
        self._steep = [1.0] * crops
        self._stale = set(range(crops))
        self.load: dict[int, float] = {}  # minutes of work by week
        self._jobs: list[dict[int, list[tuple[int, float, float]]]] = [{} for _ in instance.crops]
        self._spots = {g: _Among(s, self.free) for g, s in instance.spots_of.items()}
        self._trays = {g: _Among(t, self.cells) for g, t in instance.trays_of.items()}

    @property
    def numbers(self) -> list[int]:
        """The numbers of all batches, to draw from."""
        if self._numbers is None:
            self._numbers = list(self.batches)
        return self._numbers

    # -- what follows from the batches

    def served(self, crop: int) -> tuple[float, float, list[float]]:
        """Return missing [want-weeks], amount used [plants] and each period's lack of a crop."""
        if crop in self._stale:
            self._reckon(crop)
        return self._served[crop]

    def felt(self, crop: int) -> float:
        """Return how hard the missing of a crop's wants is felt [want-weeks]."""
        if crop in self._stale:
            self._reckon(crop)
        return self._felt[crop]

    def steep(self, crop: int) -> float:
        """Return how much a want-week more of a crop missing would count."""
        if crop in self._stale:
            self._reckon(crop)
        return self._steep[crop]

    def wasted(self, crop: int) -> float:
        """Return what a crop grows beyond what is wanted [want-weeks]."""
        if crop in self._stale:
            self._reckon(crop)
        return self._wasted[crop]

    def score(self) -> Score:
        """Return what the season is judged by."""
        for crop in sorted(self._stale):
            self._reckon(crop)
        return Score(
            sum(self._felt), sum(self._wasted), self.sowings, sum(self._missing), self.spread
        )

    def harvested(self, crop: int, option: int, plants: int) -> tuple[float, float]:
        """Return a crop's felt and wasted [want-weeks] with one sowing more, wherever it stood."""
        orders = self.orders[crop]
        orders.bring(-1, option, plants)
        missing, used, lack = orders.serve()
        orders.take_back(-1, option, plants)
        grown = self.grown[crop] + plants * self.total[crop][option]
        wasted = max(0.0, grown - used) * self.instance.crops[crop].worth
        return self.feeling[crop].of(missing, lack)[0], wasted

    def sown_already(self, crop: int, option: int) -> bool:
        """Return whether some sowing that stands is the same as an option's: it counts once."""
        return any(self.sown[crop].get(self.instance.crops[crop].options.sowing[option], ()))

    def _reckon(self, crop: int) -> None:
        """Work out anew what follows from a crop's batches."""
        missing, used, lack = self._served[crop] = self.orders[crop].serve()
        self._missing[crop] = missing
        self._felt[crop], self._steep[crop] = self.feeling[crop].of(missing, lack)
        self._wasted[crop] = max(0.0, self.grown[crop] - used) * self.instance.crops[crop].worth
        self._stale.discard(crop)

    # -- changes

    def add(self, batch: Batch) -> int:
        """Let a batch stand that `place` has found room for; return its number."""
        number = self._next
        self._next += 1
        self.log.append(("add", number, batch, self._known(batch.crop)))
        self._put(number, batch)
        return number

    def remove(self, number: int) -> Batch:
        """Take a batch away."""
        batch = self.batches[number]
        self.log.append(("remove", number, batch, self._known(batch.crop)))
        self._take(number, batch)
        return batch

    def undo(self, mark: int) -> None:
        """Take back all changes since the log was ``mark`` long."""
        while len(self.log) > mark:
            what, number, batch, known = self.log.pop()
            (self._take if what == "add" else self._put)(number, batch)
            if known is not None:
                self._recall(batch.crop, known)

    def _known(self, crop: int) -> tuple | None:
        """Return what is known to follow from a crop's batches; None where it is not."""
        if crop in self._stale:
            return None
        return (
            self._served[crop],
            self._missing[crop],
            self._felt[crop],
            self._steep[crop],
            self._wasted[crop],
            self.grown[crop],
        )

    def _recall(self, crop: int, known: tuple) -> None:
        """Go back to what was known of a crop."""
        (
            self._served[crop],
            self._missing[crop],
            self._felt[crop],
            self._steep[crop],
            self._wasted[crop],
            self.grown[crop],
        ) = known
        self._stale.discard(crop)

    def _count(self, crop: int, option: int, fixed: bool, change: int) -> None:
        """Keep count of the sowings: those with free batches and no fixed ones."""
        sown = self.sown[crop]
        key = self.instance.crops[crop].options.sowing[option]
        parts = sown.get(key)
        if parts is None:
            parts = sown[key] = [0, 0]
        before = parts[0] > 0 and not parts[1]
        parts[fixed] += change
        self.sowings += (parts[0] > 0 and not parts[1]) - before
        if not fixed:
            self.spread += change

    def _put(self, number: int, batch: Batch) -> None:
        crop = self.instance.crops[batch.crop]
        option = batch.option
        sow, into, clear, *_ = crop.options.rows[option]
        self.batches[number] = batch
        self.of_crop[batch.crop][number] = batch
        self.grown[batch.crop] += batch.plants * self.total[batch.crop][option]
        self.orders[batch.crop].bring(number, option, batch.plants)
        self._count(batch.crop, option, batch.fixed, 1)
        self.rooms[batch.spot].add(into, clear, batch.mask, number)
        self.free[batch.spot, max(into, 0) : max(clear, 0)] -= batch.mask.bit_count()
        self.room_left.changed.add(batch.spot)
        if batch.tray >= 0:
            self.cells[batch.tray, max(sow, 0) : max(into, 0)] -= batch.cells
            self.cells_left.changed.add(batch.tray)
        turn = (into, clear, crop.gap_days, number)
        self.turns.setdefault((batch.spot, crop.family), []).append(turn)
        if crop.minutes is not None:
            self._work(batch, 1)
        self._stale.add(batch.crop)
        self._numbers = None

    def _work(self, batch: Batch, sign: int) -> None:
        """Add a batch's minutes to its weeks, or take them away."""
        for week, each, begin in self.jobs(batch.crop, batch.option):
            self.load[week] = self.load.get(week, 0.0) + sign * (each * batch.plants + begin)

    def _take(self, number: int, batch: Batch) -> None:
        crop = self.instance.crops[batch.crop]
        option = batch.option
        sow, into, clear, *_ = crop.options.rows[option]
        del self.batches[number]
        del self.of_crop[batch.crop][number]
        self.grown[batch.crop] -= batch.plants * self.total[batch.crop][option]
        self.orders[batch.crop].take_back(number, option, batch.plants)
        self._count(batch.crop, option, batch.fixed, -1)
        self.rooms[batch.spot].remove(number)
        self.free[batch.spot, max(into, 0) : max(clear, 0)] += batch.mask.bit_count()
        self.room_left.changed.add(batch.spot)
        if batch.tray >= 0:
            self.cells[batch.tray, max(sow, 0) : max(into, 0)] += batch.cells
            self.cells_left.changed.add(batch.tray)
        turns = self.turns[batch.spot, crop.family]
        turns.remove((into, clear, crop.gap_days, number))
        if crop.minutes is not None:
            self._work(batch, -1)
        self._stale.add(batch.crop)
        self._numbers = None

    # -- finding room

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

    def put(self, crop: int, option: int, plants: int) -> bool:
        """Let a sowing stand, in one piece or else in parts; return whether it does."""
        found = self.place(crop, option, plants)
        if found is not None:
            self.add(found)
            return True
        return self.split(crop, option, plants)

    def split(self, crop: int, option: int, plants: int, spots=None, some: bool = False) -> bool:
        """Let a sowing stand in two parts, or in as few more as will do; return whether it does.

        Each part has as many plants as a batch must have at least, and stands in whole rows. With
        ``some``, as much of it as finds room is left standing.
        """
        mark = len(self.log)
        for _ in range(MOST_PARTS - 1):
            piece = self._largest(crop, option, plants, spots)
            if piece is None:
                break
            self.add(piece)
            plants -= piece.plants
            rest = self.place(crop, option, plants, spots)
            if rest is not None:
                self.add(rest)
                return True
        if not some:
            self.undo(mark)
        return False

    def _largest(self, crop: int, option: int, plants: int, spots=None) -> Batch | None:
        """Return the largest part of a sowing that fits in one piece, the rest being one too."""
        case = self.instance.crops[crop]
        sow, into, clear, group, kind, fixed = case.options.rows[option]
        room = case.units.get(group)
        least = 1 if fixed >= 0 else case.least[option]
        if room is None or plants < 2 * least:
            return None
        best = (0, -1)
        for spot in self._roomy(group, into, clear, room[least]) if spots is None else spots:
            free = self.rooms[spot].free(into, clear)
            if (free.bit_count(), -spot) <= best:
                continue
            if self.instance.spots[spot].whole:
                units = max((gap for _, gap in runs(free)), default=0)
            else:
                units = free.bit_count()
            if (units, -spot) > best and (fixed >= 0 or self.rotates(spot, crop, into, clear)):
                best = (units, -spot)
        many = min(bisect_right(room, best[0]) - 1, plants - least)
        if kind >= 0:
            first = max(sow, 0)
            if first < into:
                left = int(self._trays[kind].least(first, into).max())
                many = min(many, int(left / case.cells_per_plant + 1e-9))
        if many < plants - least:
            many = bisect_left(room, room[many]) - 1 if _begun(room, many) else many
        if many < least:
            return None
        return self.place(crop, option, many, [-best[1]])

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
        if case.gap_days <= 0 or instance.gone + instance.days <= instance.turn_days:
            return True
        stands = [turn[:3] for turn in self.turns.get((spot, case.family), [])]
        return in_turn([*stands, (into, clear, case.gap_days)], instance.turn_days)


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


def _by_day(size: NDArray[np.int64], days: int) -> NDArray[np.int32]:
    """Return what each place has, for every day, shape (places, days); a day lies in one piece."""
    return np.repeat(size[None, :], days, axis=0).astype(np.int32).T


def _begun(room: list[int], plants: int) -> bool:
    """Return whether so many plants leave their last row, hole or pot partly empty."""
    return plants + 1 < len(room) and room[plants + 1] == room[plants]


def _total(options: Options) -> list[float]:
    """Return the share of a plant's whole yield that each option grows."""
    total = np.zeros(len(options))
    np.add.at(total, options.lot_option, options.lot_share)
    return total.tolist()
