"""A finished season's places made tidy, on seasons small enough to see by eye what is tidy."""

import random

import numpy as np

from sowplan.season.choices.instance import Batch, CropCase, Instance, Options, Periods, Spot, Stay
from sowplan.season.search.standing import Standing
from sowplan.season.tidy.places import tidy

DAYS = 200


def crop(family, stays, *, gap=365, high=False, rows=(10, 40)):
    """Return a crop with an option for each (first day, clear), ten units of bed a plant."""
    many = len(stays)
    into, clear = np.array(stays).T
    zero = np.zeros(many, np.int64)
    options = Options(
        into, into, clear, zero, zero - 1, np.arange(many), zero - 1,
        np.arange(many), clear - 5, clear - 1, clear - 1, np.ones(many),
    )  # fmt: skip
    start = np.array([20, 150])
    need = np.array([5.0, 5.0])
    periods = Periods(start, start + 30, need, 1 / need, zero[:1].repeat(2))
    each, most = rows
    room = {0: np.arange(most + 1) * each}
    return CropCase(f"crop-{family}", family, gap, 1.0, periods, options, room, high)


def season(crops, beds=2, size=100, poleward=0, stays=()):
    spots = tuple(Spot(f"Bed {n + 1}", 0, size, True, poleward) for n in range(beds))
    return Instance(DAYS, spots, (), tuple(crops), stays)


def stand(instance, rows):
    """Return a season of (crop, option, plants, bed, first unit) and, after them, fixed or not."""
    standing = Standing(instance)
    for number, option, plants, spot, at, *fixed in rows:
        units = int(instance.crops[number].room[0][plants])
        mask = ((1 << units) - 1) << at
        standing.add(Batch(number, option, plants, spot, mask, -1, 0, bool(fixed and fixed[0])))
    standing.log.clear()
    return standing


def where(standing):
    """Return the beds in which each crop stands."""
    found = {}
    for batch in standing.batches.values():
        found.setdefault(batch.crop, set()).add(batch.spot)
    return found


def first(batch):
    return (batch.mask & -batch.mask).bit_length() - 1


TWO = (crop(0, [(0, 50), (60, 120)]), crop(1, [(0, 50), (60, 120)]))
CROSSED = [(0, 0, 6, 0, 0), (1, 1, 6, 0, 40), (0, 1, 6, 1, 0), (1, 0, 6, 1, 40)]


def test_each_family_in_a_bed_of_its_own():
    standing = stand(season(TWO), CROSSED)
    tidy(standing)
    beds = where(standing)
    assert len(beds[0]) == len(beds[1]) == 1 and beds[0] != beds[1]


def test_full_beds_exchange_strips_of_one_size():
    """No gap anywhere from day 0 to 50: strips can only change places with one another."""
    crops = (crop(0, [(0, 50)]), crop(1, [(0, 50)]))
    rows = [(0, 0, 5, 0, 0), (1, 0, 5, 0, 50), (0, 0, 5, 1, 50), (1, 0, 5, 1, 0)]
    standing = stand(season(crops), rows)
    tidy(standing)
    assert sorted(map(len, where(standing).values())) == [1, 1]
    # Two strips of one sowing have become one of ten plants.
    assert sorted(b.plants for b in standing.batches.values()) == [10, 10]


def test_what_must_not_move_stays():
    fixed = [(*row, number == 1) for number, row in enumerate(CROSSED)]
    standing = stand(season(TWO), fixed)
    kept = {n: b for n, b in standing.batches.items() if n in (1, 2)}
    tidy(standing, but=[2])
    assert {n: standing.batches.get(n) for n in kept} == kept


def test_a_family_keeps_out_of_the_bed_it_has_to_wait_for():
    """The first family stood in the second bed last year: it comes together in the first one."""
    standing = stand(season(TWO, beds=3, stays=(Stay(1, 0, -10), Stay(2, 0, -10))), [
        (0, 0, 4, 0, 0), (1, 0, 6, 0, 40), (0, 1, 4, 0, 0), (1, 1, 5, 1, 50),
    ])  # fmt: skip
    tidy(standing)
    assert where(standing)[0] == {0}
    assert len(where(standing)[1]) == 1


def test_neighbours_hold_the_same_and_empty_beds_come_last():
    crops = tuple(crop(family, [(0, 150)]) for family in range(2))
    rows = [(0, 0, 9, 1, 0), (1, 0, 8, 2, 0), (0, 0, 8, 4, 0), (1, 0, 9, 5, 0)]
    standing = stand(season(crops, beds=6), rows)
    tidy(standing)
    beds = where(standing)
    assert beds[0] | beds[1] == {0, 1, 2, 3}
    assert all(max(mine) - min(mine) == 1 for mine in beds.values())


def test_tall_crops_poleward_and_free_ground_in_one():
    crops = (crop(0, [(0, 150)]), crop(1, [(0, 150)], high=True), crop(2, [(0, 150)]))
    for poleward in (1, -1):
        standing = stand(
            season(crops, 1, 100, poleward), [(0, 0, 2, 0, 10), (1, 0, 2, 0, 45), (2, 0, 2, 0, 75)]
        )
        tidy(standing)
        at = {b.crop: first(b) for b in standing.batches.values()}
        assert at[1] == (80 if poleward > 0 else 0)
        low = sorted((at[0], at[2]))
        assert low == ([0, 20] if poleward > 0 else [60, 80])


def test_sowings_of_a_crop_side_by_side():
    """Three crops, two of them of one family, in one bed; kin adjoin although they did not."""
    crops = (crop(0, [(0, 100), (10, 110)]), crop(1, [(0, 120)]), crop(0, [(20, 90)]))
    standing = stand(
        season(crops, 1), [(0, 0, 2, 0, 0), (1, 0, 2, 0, 20), (0, 1, 2, 0, 60), (2, 0, 2, 0, 80)]
    )
    tidy(standing)
    starts = {b.crop: [] for b in standing.batches.values()}
    for batch in standing.batches.values():
        starts[batch.crop].append(first(batch))
    assert abs(starts[0][0] - starts[0][1]) == 20
    assert min(abs(at - starts[2][0]) for at in starts[0]) == 20


def torn(draw, first, clear, low, high, there, cuts=6):
    """Return strips that fill some days of a bed: (first, clear, units, begins, torn begins).

    The bed is cut in two, in time or in length, again and again; the sides of a cut in length may
    have changed places where it is torn apart. ``there`` is where it begins then.
    """
    if cuts and draw.random() < 0.55 and clear - first >= 60:
        day = draw.randrange(first + 30, clear - 29, 10)
        spans = ((first, day), (day, clear))
        return [s for span in spans for s in torn(draw, *span, low, high, there, cuts - 1)]
    if cuts and high - low >= 20:
        at, changed = draw.randrange(low + 10, high, 10), draw.random() < 0.5
        lower = there + (high - at if changed else 0)
        upper = there + (0 if changed else at - low)
        return torn(draw, first, clear, low, at, lower, cuts - 1) + torn(
            draw, first, clear, at, high, upper, cuts - 1
        )
    return [(first, clear, high - low, low, there)]


def adjoin(one, other):
    """Return whether strips (first, clear, units, begins) lie together, within four weeks."""
    soon = one[0] < other[1] + 28 and other[0] < one[1] + 28
    return soon and one[3] <= other[3] + other[2] and other[3] <= one[3] + one[2]


def pieces(strips):
    """Return in how many pieces crops lie; strips are (crop, first, clear, units, begins)."""
    found, left = 0, set(range(len(strips)))
    while left:
        found, reached = found + 1, [left.pop()]
        while reached:
            crop, *one = strips[reached.pop()]
            mine = {n for n in left if strips[n][0] == crop and adjoin(one, strips[n][1:])}
            left -= mine
            reached += mine
    return found


def test_in_full_beds_crops_come_together_again():
    """Full beds in which crops lay together, torn apart: hardly any of that is left afterwards.

    Nothing can be shifted by itself in them, and no gap is left to lay anything in.
    """
    whole = apart = tidied = 0
    for seed in range(20):
        draw = random.Random(seed)
        strips = sorted(torn(draw, 0, 160, 0, 120, 0), key=lambda strip: (strip[3], strip[0]))
        crop_of = []
        for at, strip in enumerate(strips):
            near = [crop_of[n] for n in range(at) if adjoin(strip, strips[n])]
            near = [kind for kind in near if crop_of.count(kind) < 4 and draw.random() < 0.8]
            crop_of.append(near[0] if near else max(crop_of, default=-1) + 1)
        kinds = [
            [n for n, kind in enumerate(crop_of) if kind == k] for k in range(max(crop_of) + 1)
        ]
        crops = [
            crop(kind, [strips[n][:2] for n in mine], rows=(10, 12))
            for kind, mine in enumerate(kinds)
        ]
        rows = [
            (kind, option, strips[n][2] // 10, 0, strips[n][4])
            for kind, mine in enumerate(kinds)
            for option, n in enumerate(mine)
        ]
        whole += pieces([(kind, *s[:4]) for kind, s in zip(crop_of, strips, strict=True)])
        apart += pieces([(k, *s[:3], s[4]) for k, s in zip(crop_of, strips, strict=True)])
        standing = stand(season(crops, 1, 120), rows)
        tidy(standing)
        tidied += pieces([
            (b.crop, *standing.instance.crops[b.crop].options.rows[b.option][1:3],
             b.mask.bit_count(), first(b))
            for b in standing.batches.values()
        ])  # fmt: skip
    assert apart > 1.5 * whole
    assert tidied - whole < (apart - whole) / 8, (whole, apart, tidied)


def test_the_same_season_is_tidied_the_same_way():
    ends = []
    for _ in range(2):
        standing = stand(season(TWO), CROSSED)
        tidy(standing)
        ends.append(sorted(standing.batches.values(), key=repr))
    assert ends[0] == ends[1]
