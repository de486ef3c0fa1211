"""The turns of a family in a bed: one after another, each after the rest; worked out by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from instances import crop_of, in_rows, season_of
from sowplan.season.choices.instance import Batch
from sowplan.season.search.standing import Standing
from sowplan.season.search.turns import in_turn

TURN, REST = 40, 20
# Days in the bed and days on which it is free again. By turns of 40 days: the first two are one
# turn, over on day 39; the others are the next, which may begin from day 59 on.
STAYS = [(0, 20), (30, 39), (59, 65), (75, 80)]


def test_the_last_two_are_one_turn_only_after_the_first():
    """Without the first the turn begins on day 30 and takes in day 59; day 75 then is too soon."""
    rested = [(*stay, REST) for stay in STAYS]
    assert in_turn(rested, TURN)
    assert not in_turn(rested[1:], TURN)
    assert in_turn(rested[2:], TURN)


def test_what_need_not_wait_has_no_part_in_turns():
    rested = [(*stay, REST) for stay in STAYS]
    assert in_turn([*rested, (50, 90, 0)], TURN)
    assert in_turn([(0, 30, 0), (40, 60, 0)], TURN)


@pytest.mark.parametrize("fixed", [False, True])
def test_taking_away_what_began_a_turn_is_felt(fixed):
    """As worse than anything a season may lack; what the gardener has settled is not judged."""
    sowings = [(into, 5, clear - into - 5) for into, clear in STAYS]
    crop = crop_of([3, 6], 2.0, sowings, in_rows(2, 10, 100), turn=(0, REST))
    season = replace(season_of(100, [crop], days=100), turn_days=TURN)
    standing = Standing(season)
    numbers = [standing.add(Batch(0, n, 2, 0, 1 << n, -1, 0, fixed)) for n in range(len(STAYS))]
    whole = standing.score()
    assert whole.felt <= season.wanted
    mark = len(standing.log)
    standing.remove(numbers[0])
    assert (standing.score().felt > 1000 * season.wanted) != fixed
    standing.undo(mark)
    assert standing.score() == whole
