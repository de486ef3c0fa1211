"""Whatever the diary says: what was revised, and nothing happened since, stays as it is.

The diaries are drawn at random: sown and planted on other days, lost in part and again, harvested
and counted, cleared early, never sown. Common sense, no source.
"""

import random

import pytest

from midseason import CROPS, DAY, at_mid_season, recount, served
from sowplan.records.diary import Entry
from sowplan.season.revise.again import revise


def diary(plan, today, chance):
    """Return a diary drawn at random of what the plan had sown before a day."""
    found = []
    for p in plan.plantings:
        if p.sow < today and not (p.fixed and chance.random() < 0.5):
            found += of_one(p, plan.site.start, today, chance)
    for want in plan.wants:
        if want.end < today and want.served_by and chance.random() < 0.15:
            number = (want.start - plan.site.start).days + 1
            much = round(want.met * chance.choice([0.5, 1, 1.6, 2.3]), 1)
            found.append(Entry(want.end, "harvested", f"{want.crop}:harvest-{number}", much))
    return sorted(found, key=lambda entry: entry.day)


def of_one(p, start, today, chance):
    """Return what happened to one planting."""
    if chance.random() < 0.08:
        return [Entry(today - DAY, "skipped", p.id)]
    found, sown = [], p.sow
    if chance.random() < 0.25:
        sown = min(max(p.sow + chance.randint(-3, 8) * DAY, start - 5 * DAY), today - DAY)
        found.append(Entry(sown, "bought" if p.bought else "sown", p.id))
    if p.planting_out and p.planting_out < today and chance.random() < 0.25:
        out = min(max(p.planting_out + chance.randint(-4, 9) * DAY, sown + DAY), today - DAY)
        found += [Entry(out, "planted", p.id)] if out >= sown else []
    if chance.random() < 0.25:
        day = max(sown, today - chance.randint(1, 20) * DAY)
        many = chance.choice([p.plants, 1, max(1, p.plants // 2), max(1, p.plants // 3)])
        found += [Entry(day, "lost", p.id, many)] if day < today else []
        if many < p.plants and chance.random() < 0.3 and day + 2 * DAY < today:
            found.append(Entry(day + 2 * DAY, "lost", p.id, 1))
    if chance.random() < 0.3:
        day = p.harvest_start + chance.randint(0, 10) * DAY
        much = chance.choice([None, 1.0, float(p.plants)])
        found += [Entry(day, "harvested", p.id, much)] if day < today else []
    if chance.random() < 0.12:
        day = min(p.cleared + chance.randint(-20, 5) * DAY, today - DAY)
        found += [Entry(day, "cleared", p.id)] if day > max(sown, p.occupies_from) else []
    return found


def revised(place, plan, today, entries):
    """Return the season revised, and the diary without what in it cannot be."""
    while True:
        made, _, problems = revise(plan, place, CROPS, today, entries, "diary.txt")
        wrong = {problem.found for problem in problems}
        if not wrong:
            return made, entries
        assert made is None
        entries = [entry for entry in entries if str(entry) not in wrong]


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("south", [True, False])
def test_revised_twice_is_revised_once(south, seed):
    place, plan, _ = at_mid_season(south)
    chance = random.Random(seed)
    today = place.season.start + chance.choice([60, 90, 110, 150, 190]) * DAY
    made, entries = revised(place, plan, today, diary(plan, today, chance))
    recount(made, today)
    served(made)
    for day in (today, today + 9 * DAY):
        assert revise(made, place, CROPS, day, entries, "diary.txt") == (made, [], [])


def test_lost_twice_after_the_day_planned_for_clearing():
    """What stood longer than planned may be lost bit by bit: each loss is counted once."""
    place, plan, _ = at_mid_season(True)
    p = next(q for q in plan.plantings if q.plants > 3 and q.cleared > q.sow and not q.fixed)
    entries = [Entry(p.cleared + n * DAY, "lost", p.id, 1) for n in (2, 4)]
    today = p.cleared + 6 * DAY
    made, _, _ = revise(plan, place, CROPS, today, entries)
    assert next(q for q in made.plantings if q.id == p.id).lost == 2
    assert revise(made, place, CROPS, today, entries) == (made, [], [])


def test_nothing_is_lost_of_what_was_cleared():
    place, plan, today = at_mid_season(True)
    p = next(q for q in plan.plantings if q.harvest_start < today - 20 * DAY and q.plants > 1)
    cleared = Entry(p.harvest_start + DAY, "cleared", p.id, None, 1)
    lost = Entry(p.harvest_start + 9 * DAY, "lost", p.id, 1, 2)
    _, _, (problem,) = revise(plan, place, CROPS, today, [cleared, lost], "diary.txt")
    assert problem.line == 2 and "it was cleared on" in problem.message
