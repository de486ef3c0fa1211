"""The season as a linear program: the bound that every plan is measured against.

The program knows no single places, only how much room each group of places has; it may sow a
fraction of a plant and charges a batch no more room than the tightest rows could take. Each season
that can stand in the beds is therefore a solution of it with the same missing, and its least
missing is a bound for all of them. Its prices say what room and cells are worth on which day.

It is solved for two aims. The bound is of the plain missing. The prices, by which the search is
led, are those of the missing as it is felt (`sowplan.season.fairness`), with some room held back.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sowplan.season.bound.program import Answer, Program
from sowplan.season.choices.instance import Floats, Instance
from sowplan.season.fairness import servable, steps_of

MOST_DAYS = 130
"""Most days on which room is looked at; fewer than all leaves the bound a bound."""

HELD_BACK = 0.2
"""Share of the room of a single place that is held back for prices; less where there are many."""


@dataclass(frozen=True, eq=False)
class Relaxation:
    """The solved program.

    ``bound`` is the least missing any season can have [want-weeks]; ``amounts[crop]`` the plants
    of each option in it; ``room_price[group]`` and ``cell_price[group]`` what one unit more on a
    day of ``days`` would save of the missing as it is felt, shape (days,). What is not ``solved``
    has a bound only.
    """

    bound: float
    amounts: tuple[NDArray[np.float64], ...]
    days: NDArray[np.int64]
    room_price: dict[int, NDArray[np.float64]]
    cell_price: dict[int, NDArray[np.float64]]
    solved: bool = True


class Build:
    """The program under construction, and the numbers of its columns and rows."""

    def __init__(self, instance: Instance):
        self.instance = instance
        self.program = Program()
        self.days = _days_to_look_at(instance)
        self.rates, self.cell_rates = _rates(instance)
        self.plants: list[NDArray[np.int64]] = []
        self.lacks: list[NDArray[np.int64]] = []
        self.room_rows: dict[int, NDArray[np.int64]] = {}
        self.cell_rows: dict[int, NDArray[np.int64]] = {}
        self.hopeless = 0.0  # what nothing can serve [want-weeks]
        self.felt: list[tuple[NDArray[np.int64], NDArray[np.float64]]] = []  # columns, cost
        self.plain: list[tuple[NDArray[np.int64], NDArray[np.float64]]] = []


def relax(instance: Instance) -> Relaxation:
    """Return the least missing that the relaxed season can have, and the prices of its room."""
    build = program_of(instance)
    if not build.program.columns:
        return Relaxation(0.0, (), build.days, {}, {})
    rows, full, held = _limits(build)
    build.program.limit(rows, held)
    led = build.program.solve()
    if led.optimal and led.cost <= build.hopeless + 1e-7:
        # Even so all that can be is there: no less is possible, and room is worth nothing.
        return _reconcile(build, led, max(0.0, build.hopeless - 1e-6))
    build.program.limit(rows, full)
    build.program.price(*_joined(build.felt, 0.0))
    build.program.price(*_joined(build.plain))
    plain = build.program.solve()
    bound = max(0.0, plain.bound - 1e-6) if plain.optimal else 0.0
    return _reconcile(build, led if led.optimal else plain, bound)


def unsolved(instance: Instance) -> Relaxation:
    """Return a relaxation of which only is known what nothing can serve: that is missing anyway."""
    hopeless = sum(
        float((case.periods.need * case.periods.weight)[~servable(case)].sum())
        for case in instance.crops
    )
    days = _days_to_look_at(instance)
    return Relaxation(max(0.0, hopeless - 1e-6), (), days, {}, {}, solved=False)


def program_of(instance: Instance) -> Build:
    """Return the season's program; what is felt is its aim."""
    build = Build(instance)
    define_plants(build)
    define_missing(build)
    define_harvests(build)
    define_steps(build)
    define_room(build)
    define_cells(build)
    define_rotation(build)
    define_work(build)
    define_fixed_sowings(build)
    return build


def _joined(parts: list, value: float | None = None) -> tuple[NDArray, NDArray]:
    """Return columns and costs in one piece; all ``value`` where that is given."""
    columns = np.concatenate([np.zeros(0, np.int64), *(part[0] for part in parts)])
    costs = np.concatenate([np.zeros(0), *(part[1] for part in parts)])
    return columns, costs if value is None else np.full(len(columns), value)


def _limits(build: Build) -> tuple[NDArray, NDArray, NDArray]:
    """Return the rows of room and cells, all there is of them, and that with some held back.

    Whole rows and whole strips never fill a place to the last unit. With that much less room the
    program's prices tell what is scarce in the real beds, and its choice leaves some slack.
    """
    instance = build.instance
    rows, full, held = [np.zeros(0, np.int64)], [np.zeros(0)], [np.zeros(0)]
    for group, numbers in build.room_rows.items():
        spots = instance.spots_of[group]
        size = float(sum(instance.spots[spot].open for spot in spots))
        rows.append(numbers)
        full.append(np.full(len(numbers), size))
        held.append(full[-1] * (1.0 - HELD_BACK / len(spots) ** 0.5))
    for group, numbers in build.cell_rows.items():
        trays = instance.trays_of[group]
        cells = float(sum(instance.trays[tray].cells for tray in trays))
        rows.append(numbers)
        full.append(np.full(len(numbers), cells))
        held.append(full[-1] * (1.0 - HELD_BACK / 2 / len(trays) ** 0.5))
    return np.concatenate(rows), np.concatenate(full), np.concatenate(held)


def define_plants(build: Build) -> None:
    """How many plants of each option serve somebody; none of it costs anything."""
    for crop in build.instance.crops:
        most = np.where(crop.options.fixed < 0, crop.most_eaten, np.inf)
        build.plants.append(build.program.add_columns(np.zeros(len(most)), 0.0, most))


def define_missing(build: Build) -> None:
    """What each period lacks; at its weight where the plain missing is the aim."""
    for crop in build.instance.crops:
        periods = crop.periods
        able = servable(crop)
        # What nothing can serve is missing whatever the aim.
        cost = np.where(able, 0.0, periods.weight)
        columns = build.program.add_columns(cost, 0.0, periods.need)
        build.lacks.append(columns)
        build.plain.append((columns, periods.weight))
        build.hopeless += float((periods.need * periods.weight)[~able].sum())


def define_steps(build: Build) -> None:
    """The lack of each want in steps, the later ones dearer; all that is lacked is in some step."""
    for crop, lacks in zip(build.instance.crops, build.lacks, strict=True):
        periods, able = crop.periods, servable(crop)
        for want in np.unique(periods.want[able]):
            mine = able & (periods.want == want)
            weight = periods.weight[mine]
            sizes, counts = zip(*steps_of(float((periods.need[mine] * weight).sum())), strict=True)
            columns = build.program.add_columns(np.array(counts), 0.0, np.array(sizes))
            build.felt.append((columns, np.array(counts)))
            (row,) = build.program.add_rows([-np.inf], [0.0])
            build.program.add_entries(row, lacks[mine], weight)
            build.program.add_entries(row, columns, -1.0)


def define_harvests(build: Build) -> None:
    """Lots go to periods they are fit in; lots fit in the same periods are one store.

    A store hands out no more than is brought into it, and a period's hand-outs and its lack make
    up what is wanted.
    """
    for crop, plants, lacks in zip(build.instance.crops, build.plants, build.lacks, strict=True):
        periods, options = crop.periods, crop.options
        wants = build.program.add_rows(periods.need, np.full(len(periods), np.inf))
        build.program.add_entries(wants, lacks, 1.0)
        if not len(periods) or not len(options.lot_ready):
            continue
        fits = (options.lot_ready[:, None] <= periods.end) & (
            options.lot_expiry[:, None] >= periods.start
        )
        _, first, store = np.unique(
            np.packbits(fits, axis=1), axis=0, return_index=True, return_inverse=True
        )
        store = store.ravel()
        stores = build.program.add_rows(np.full(len(first), -np.inf), 0.0)
        row, period = np.nonzero(fits[first])
        handed = build.program.add_columns(np.zeros(len(row)), 0.0, np.inf)
        build.program.add_entries(stores[row], handed, 1.0)
        build.program.add_entries(wants[period], handed, 1.0)
        _add_summed(build.program, stores[store], plants[options.lot_option], -options.lot_share)


def define_room(build: Build) -> None:
    """On no day do batches take more of a group's places than there is."""
    for group, spots in build.instance.spots_of.items():
        size = sum(build.instance.spots[spot].open for spot in spots)
        rows = build.program.add_rows(np.full(len(build.days), -np.inf), float(size))
        build.room_rows[group] = rows
        for number, crop in enumerate(build.instance.crops):
            _stand(build, rows, number, crop.options.group == group)


def define_cells(build: Build) -> None:
    """On no day do seedlings take more cells than a group of trays has."""
    for group, trays in build.instance.trays_of.items():
        cells = sum(build.instance.trays[tray].cells for tray in trays)
        rows = build.program.add_rows(np.full(len(build.days), -np.inf), float(cells))
        build.cell_rows[group] = rows
        for number, (crop, plants) in enumerate(
            zip(build.instance.crops, build.plants, strict=True)
        ):
            options = crop.options
            here = np.nonzero(options.tray == group)[0]
            day, which = np.nonzero(
                (options.sow[here] <= build.days[:, None])
                & (options.into[here] > build.days[:, None])
            )
            chosen = here[which]
            build.program.add_entries(rows[day], plants[chosen], build.cell_rates[number][chosen])


def define_rotation(build: Build) -> None:
    """A family takes no room in places where it stood too lately.

    Its crops together no more than what is open to the least patient of them. A batch that went in
    before a place opened cannot stand there afterwards; counted by the day it goes in.
    """
    instance = build.instance
    until: dict[tuple[int, int], int] = {}  # by family and place: it may have stood there twice
    for stay in instance.stays:
        if instance.spots[stay.spot].whole:
            key = (stay.family, stay.spot)
            until[key] = max(stay.until, until.get(key, stay.until))
    for family in sorted({family for family, _ in until}):
        crops = [n for n, crop in enumerate(instance.crops) if crop.family == family]
        for gap in sorted({instance.crops[n].gap_days for n in crops}):
            patient = [n for n in crops if instance.crops[n].gap_days >= gap]
            for group, spots in instance.spots_of.items():
                open_ = np.zeros(len(build.days))
                for spot in spots:
                    shut = build.days <= until.get((family, spot), -1 - gap) + gap
                    open_ += ~shut * instance.spots[spot].open
                if len(open_) and open_.min() < sum(instance.spots[spot].open for spot in spots):
                    _keep_out(build, patient, group, open_)


def _keep_out(build: Build, crops: list[int], group: int, open_: NDArray[np.float64]) -> None:
    """Let crops together take no more of a group's room on each day than is open to them."""
    rows = build.program.add_rows(np.full(len(build.days), -np.inf), open_)
    for number in crops:
        options = build.instance.crops[number].options
        here = (options.fixed < 0) & (options.group == group)
        _stand(build, rows, number, here)


def define_work(build: Build) -> None:
    """In no week do the batches to choose take more hours than the gardener's own leave.

    What a job takes to begin is spread over the plants of the largest batch that can serve, and
    the work on plants that serve nobody, where the least batch has such, over those that do.
    """
    instance = build.instance
    if instance.week_minutes is None:
        return
    taken: dict[int, list[tuple[int, float]]] = {}
    for crop, plants in zip(instance.crops, build.plants, strict=True):
        free = crop.options.fixed < 0
        for option in np.nonzero(free)[0].tolist() if crop.minutes is not None else ():
            useful = float(crop.useful[option])
            held = max(len(crop.units.get(crop.options.rows[option][3], ())) - 1, 1)
            most, over = min(held, useful), max(1.0, crop.least[option] / useful)
            for day, each, begin in crop.jobs(option):
                if day >= 0:
                    entry = (int(plants[option]), each * over + begin / most)
                    taken.setdefault(instance.week(day), []).append(entry)
    for week, entries in sorted(taken.items()):
        left = max(0.0, instance.week_minutes - _fixed_minutes(instance, week))
        (row,) = build.program.add_rows([-np.inf], [left])
        columns, minutes = np.array(entries).T
        columns = columns.astype(np.int64)
        _add_summed(build.program, np.full(len(columns), row), columns, minutes)


def _fixed_minutes(instance: Instance, week: int) -> float:
    """Return the least minutes that the gardener's own sowings can take in a week."""
    total = 0.0
    for number, batch in enumerate(instance.fixed):
        crop = instance.crops[batch.crop]
        ways = [
            sum(
                each * batch.plants + begin
                for day, each, begin in crop.jobs(option)
                if day >= 0 and instance.week(day) == week
            )
            for option in np.nonzero(crop.options.fixed == number)[0].tolist()
        ]
        total += min(ways, default=0.0)
    return total


def define_fixed_sowings(build: Build) -> None:
    """What the gardener has decided on is sown, whole."""
    instance = build.instance
    for number, batch in enumerate(instance.fixed):
        options = instance.crops[batch.crop].options
        mine = np.nonzero(options.fixed == number)[0]
        row = build.program.add_rows([float(batch.plants)], [float(batch.plants)])
        build.program.add_entries(row[0], build.plants[batch.crop][mine], 1.0)


def _rates(instance: Instance) -> tuple[list[Floats], list[Floats]]:
    """Return, by crop, the least room and the least cells that a plant of each option takes.

    What stands already takes what it takes, less than its plants would where beds or spacings are
    others now than when it was sown.
    """
    rates = [crop.rate.copy() for crop in instance.crops]
    cells = [crop.cell_rate.copy() for crop in instance.crops]
    for number, batch in enumerate(instance.fixed):
        mine = instance.crops[batch.crop].options.fixed == number
        for found, taken in ((rates, batch.units), (cells, batch.cells)):
            if taken is not None:
                each = taken / batch.plants
                found[batch.crop][mine] = np.minimum(found[batch.crop][mine], each)
    return rates, cells


def _stand(build: Build, rows, number: int, here) -> None:
    """Charge options of a crop for the room they take on each day looked at."""
    options, plants = build.instance.crops[number].options, build.plants[number]
    chosen = np.nonzero(here)[0]
    day, which = np.nonzero(
        (options.into[chosen] <= build.days[:, None])
        & (options.clear[chosen] > build.days[:, None])
    )
    each = build.rates[number][chosen[which]]
    build.program.add_entries(rows[day], plants[chosen[which]], each)


def _add_summed(program: Program, rows, columns, values) -> None:
    """Add entries, those of one row and column summed."""
    keys, place = np.unique(np.stack([rows, columns]), axis=1, return_inverse=True)
    program.add_entries(keys[0], keys[1], np.bincount(place.ravel(), values))


def _days_to_look_at(instance: Instance) -> NDArray[np.int64]:
    """Return the days on which batches go in or are sown; thinned where there are very many.

    Room taken only ever grows on a day when something goes in, so no other day can be the worst.
    """
    if not instance.crops:
        return np.zeros(0, np.int64)
    starts = [crop.options.into for crop in instance.crops] + [
        crop.options.sow for crop in instance.crops
    ]
    days = np.unique(np.concatenate(starts))
    days = days[(days >= 0) & (days < instance.days)]
    step = max(1, -(-len(days) // MOST_DAYS))
    return days[::step]


def _reconcile(build: Build, led: Answer, bound: float) -> Relaxation:
    """Read the program's answers back into the season's terms."""
    if led.solution is None:
        amounts = tuple(np.zeros(len(crop.options)) for crop in build.instance.crops)
    else:
        amounts = tuple(led.solution[columns] for columns in build.plants)

    def prices(rows: dict) -> dict[int, NDArray[np.float64]]:
        return {group: np.maximum(-led.prices[mine], 0.0) for group, mine in rows.items()}

    return Relaxation(
        bound=bound,
        amounts=amounts,
        days=build.days,
        room_price=prices(build.room_rows),
        cell_price=prices(build.cell_rows),
    )
