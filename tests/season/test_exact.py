"""Small seasons against the true best: every possible one tried, or an exact program of places."""

import itertools

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from instances import missing_of
from sowplan.season.bound.model import relax
from sowplan.season.choices.instance import CropCase, Instance, Options, Periods, Spot, TrayShelf
from sowplan.season.search.search import Search


def small_season(seed, beds, crops, sowings, size):
    """Return a season of a few weeks on beds of a few units; one plant takes one or two."""
    draw = np.random.Generator(np.random.PCG64(seed))
    cases = []
    for number in range(crops):
        starts = np.arange(28, 28 + 7 * int(draw.integers(2, 5)), 7)
        need = float(draw.integers(1, 3))
        periods = Periods(
            starts,
            starts + 6,
            np.full(len(starts), need),
            np.full(len(starts), 1 / need),
            0 * starts,
        )
        grow, stand = int(draw.integers(18, 33)), int(draw.integers(5, 13))
        rows, lots = [], []
        for sow in range(0, 7 * sowings, 7):
            last = sow + grow + stand - 1
            lots.append((len(rows), sow + grow, last, last + 2))
            rows.append((sow, sow, last + 1, 0, -1, sow, -1))
        options = Options(
            *np.array(rows, np.int64).T, *np.array(lots, np.int64).T, np.ones(len(lots))
        )
        wide = int(draw.integers(1, 3))
        room = {0: np.arange(size // wide + 1) * wide}
        cases.append(CropCase(f"crop-{number}", number, 0, 1.0, periods, options, room))
    spots = tuple(Spot(f"Bed {n}", 0, size, True) for n in range(beds))
    return Instance(70, spots, (TrayShelf("Tray", 0, 1),), tuple(cases))


STEPS = [(0.25, 1), (0.5, 2), (0.75, 4), (1.0, 16)]  # as DEVELOPERS.md has them


def servable_of(case):
    """Return how much of a crop's one want some option could serve."""
    lots = list(zip(case.options.lot_ready, case.options.lot_expiry, strict=True))
    periods = zip(case.periods.start, case.periods.end, strict=True)
    return float(sum(any(a <= end and b >= start for a, b in lots) for start, end in periods))


def felt(case, missing):
    """Return how hard a lack of a crop is felt: each part of it as its step counts."""
    whole = servable_of(case)
    hopeless = len(case.periods) - whole
    lack, counted, done = missing - hopeless, hopeless, 0.0
    for end, counts in STEPS:
        part = max(0.0, min(lack, end * whole) - done)
        counted += counts * part
        done = end * whole
    return counted


def felt_of(case, grown):
    """Return what is felt of a crop, its batches given as (option, plants)."""
    return felt(case, missing_of(case, grown))


def every_season(season):
    """Return the least that can be felt over every way to put batches on one bed, all tried."""
    (bed,) = season.spots
    choices = []
    for number, case in enumerate(season.crops):
        for option in range(len(case.options)):
            ways = [None]
            for plants in range(1, len(case.room[0])):
                width = int(case.room[0][plants])
                for at in range(bed.size - width + 1):
                    ways.append((number, option, plants, at, width))
            choices.append(ways)
    best = float("inf")
    for picked in itertools.product(*choices):
        batches = [b for b in picked if b]
        if any(_clash(season, a, b) for a, b in itertools.combinations(batches, 2)):
            continue
        best = min(
            best,
            sum(
                felt_of(case, [(b[1], b[2]) for b in batches if b[0] == number])
                for number, case in enumerate(season.crops)
            ),
        )
    return best


def _clash(season, a, b):
    first, second = season.crops[a[0]].options, season.crops[b[0]].options
    in_time = first.into[a[1]] < second.clear[b[1]] and second.into[b[1]] < first.clear[a[1]]
    return in_time and a[3] < b[3] + b[4] and b[3] < a[3] + a[4]


def exact_program(season):
    """Return the least felt by a program with a binary for each batch in each place."""
    columns, cost, upper, whole = [], [], [], []
    for number, case in enumerate(season.crops):
        for option in range(len(case.options)):
            for plants in range(1, len(case.room[0])):
                width = int(case.room[0][plants])
                for spot, place in enumerate(season.spots):
                    for at in range(place.size - width + 1):
                        columns.append((number, option, plants, spot, at, width))
                        cost.append(0.0)
                        upper.append(1.0)
                        whole.append(1)
    flows = []
    for number, case in enumerate(season.crops):
        for option in range(len(case.options)):
            for p in range(len(case.periods)):
                if (
                    case.options.lot_ready[option] <= case.periods.end[p]
                    and case.options.lot_expiry[option] >= case.periods.start[p]
                ):
                    flows.append((number, option, p))
                    cost.append(0.0)
                    upper.append(np.inf)
                    whole.append(0)
    many = len(columns)
    rows, limits = [], []
    # What is felt of a crop lies above each line that carries one of its steps on.
    lines = len(cost)
    cost += [1.0] * len(season.crops)
    upper += [np.inf] * len(season.crops)
    whole += [0] * len(season.crops)
    for number, case in enumerate(season.crops):
        total, at = len(case.periods), servable_of(case)
        for end, counts in STEPS:
            row = np.zeros(len(cost))
            row[lines + number] = -1.0
            for n, (c, _, p) in enumerate(flows, many):
                row[n] = -counts * case.periods.weight[p] if c == number else 0
            rows.append(row)
            # felt >= felt(m0) + counts * (total - eaten - m0), at the end of the step
            edge = total - at + end * at
            limits.append(counts * (edge - total) - felt(case, edge))
    for spot, place in enumerate(season.spots):
        for unit in range(place.size):
            for day in range(0, season.days):
                row = np.zeros(len(cost))
                for n, (c, o, _, s, at, width) in enumerate(columns):
                    options = season.crops[c].options
                    if s == spot and at <= unit < at + width:
                        row[n] = options.into[o] <= day < options.clear[o]
                if row.sum() > 1 and not any(np.array_equal(row, other) for other in rows[-9:]):
                    rows.append(row)
                    limits.append(1.0)
    for number, case in enumerate(season.crops):
        for option in range(len(case.options)):
            row = np.zeros(len(cost))
            for n, (c, o, plants, *_) in enumerate(columns):
                row[n] = -plants if (c, o) == (number, option) else 0
            for n, (c, o, _) in enumerate(flows, many):
                row[n] = (c, o) == (number, option)
            rows.append(row)
            limits.append(0.0)
        for p in range(len(case.periods)):
            row = np.zeros(len(cost))
            for n, (c, _, q) in enumerate(flows, many):
                row[n] = (c, q) == (number, p)
            rows.append(row)
            limits.append(case.periods.need[p])
    result = milp(
        cost,
        constraints=LinearConstraint(np.array(rows), -np.inf, limits),
        bounds=Bounds(0, upper),
        integrality=whole,
    )
    assert result.status == 0
    return result.fun


def every_filling(season, size):
    """Return the plants of each option in every way to fill a bed; those that another way has too,
    and more, are left out."""
    choices = []
    for number, case in enumerate(season.crops):
        wide = int(case.room[0][1])
        strips = [((1 << wide) - 1) << at for at in range(size - wide + 1)]
        ways = {0: 0}  # units taken, as bits: plants, in however many strips
        for strip in strips:
            ways |= {taken | strip: n + 1 for taken, n in ways.items() if not taken & strip}
        choices += [(number, option, ways) for option in range(len(case.options))]
    stays = [
        (int(season.crops[n].options.into[o]), int(season.crops[n].options.clear[o]))
        for n, o, _ in choices
    ]
    found = set()

    def go_on(at, taken, plants):
        if at == len(choices):
            found.add(plants)
            return
        into, clear = stays[at]
        full = 0
        for (first, gone), units in zip(stays, taken, strict=False):
            if first < clear and into < gone:
                full |= units
        for units, many in choices[at][2].items():
            if not units & full:
                go_on(at + 1, (*taken, units), (*plants, many))

    go_on(0, (), ())
    rows = np.array(sorted(found, key=sum, reverse=True))
    kept: list = []
    for row in rows:
        if not any(np.all(other >= row) for other in kept):
            kept.append(row)
    return [(n, o) for n, o, _ in choices], kept


def least_of_two_beds(season):
    """Return the least felt and the least plainly missing over every way to fill two beds."""
    options, fillings = every_filling(season, season.spots[0].size)
    known: dict[tuple, tuple[float, float]] = {}

    def of_crop(number, plants):
        if (number, plants) not in known:
            case = season.crops[number]
            lack = missing_of(case, [(o, many) for o, many in enumerate(plants) if many])
            known[number, plants] = felt(case, lack), lack
        return known[number, plants]

    where = [[at for at, (n, _) in enumerate(options) if n == c] for c in range(len(season.crops))]
    least_felt = least_missing = np.inf
    for one, two in itertools.combinations_with_replacement(fillings, 2):
        both = one + two
        each = [of_crop(c, tuple(both[columns].tolist())) for c, columns in enumerate(where)]
        least_felt = min(least_felt, sum(hard for hard, _ in each))
        least_missing = min(least_missing, sum(lack for _, lack in each))
    return least_felt, least_missing


@pytest.mark.parametrize("seed", range(40, 48))
def test_two_beds_three_crops_every_season_tried(seed):
    """Ten weeks; each option in every strip or strips of both beds, nothing left out."""
    season = small_season(seed, beds=2, crops=3, sowings=3, size=4)
    best, plain = least_of_two_beds(season)
    assert best == pytest.approx(exact_program(season), abs=1e-6)
    search = Search(season, relax(season))
    search.run(1500)
    assert search.standing.score().felt == pytest.approx(best, abs=1e-6)
    assert search.relaxation.bound <= plain + 1e-6


@pytest.mark.parametrize("seed", range(8))
def test_one_bed_two_crops_every_season_tried(seed):
    season = small_season(seed, beds=1, crops=2, sowings=2, size=3)
    best = every_season(season)
    search = Search(season, relax(season))
    search.run(400)
    assert search.standing.score().felt == pytest.approx(best, abs=1e-6)


@pytest.mark.parametrize("seed", range(20, 28))
def test_two_beds_three_crops_ten_weeks(seed):
    season = small_season(seed, beds=2, crops=3, sowings=5, size=4)
    best = exact_program(season)
    search = Search(season, relax(season))
    search.run(1500)
    assert search.standing.score().felt == pytest.approx(best, abs=1e-6)


def test_no_room_at_all():
    season = small_season(1, beds=1, crops=2, sowings=2, size=3)
    empty = Instance(season.days, (Spot("Bed", 0, 0, True),), (), season.crops)
    search = Search(empty, relax(empty))
    search.run(20)
    assert search.standing.score().missing == pytest.approx(season.wanted)
    assert search.relaxation.bound == pytest.approx(season.wanted, abs=1e-4)
