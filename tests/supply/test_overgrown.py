"""What overgrew while nobody was there is taken off when somebody is there again."""

from dataclasses import replace
from datetime import date, timedelta

from sowplan.season.archive import from_json, to_json
from sowplan.supply.tasks import tasks


def left(plan, *names, back):
    """Return a plan in which some plantings overgrew, and are cleared of it on a day."""
    grown = tuple(
        replace(p, overgrown=(*p.overgrown, back)) if p.id in names else p for p in plan.plantings
    )
    return replace(plan, plantings=grown)


def of_kind(plan, kind="take off"):
    return [task for task in tasks(plan) if task.kind == kind]


def between_harvests(p):
    """Return a day after a planting's first harvest, well before its next."""
    first, second = p.lots[0], p.lots[1]
    return first.ready + (second.ready - first.ready) / 2


def again(plan):
    """Return the plantings that give more than once."""
    return [p for p in plan.plantings if len(p.lots) > 1]


def test_it_is_a_job_of_the_first_days_back(sample_plan):
    assert not of_kind(sample_plan)
    for p in again(sample_plan):
        back = between_harvests(p)
        (job,) = of_kind(left(sample_plan, p.id, back=back))
        name = sample_plan.crop(p.crop).name
        assert job.id == f"{p.id}:take-off-1" and job.planting == p.id
        assert back <= job.day <= job.until <= back + timedelta(days=3)
        assert job.title.startswith(f"Take off overgrown {name}: {p.place}")
        assert job.until < p.lots[1].ready or job.until == back
        assert "More to harvest about " in job.details


def test_each_time_has_a_name_of_its_own(sample_plan):
    p = max(again(sample_plan), key=lambda p: len(p.lots))
    days = (between_harvests(p), p.lots[1].ready + timedelta(days=1))
    plan = left(left(sample_plan, p.id, back=days[0]), p.id, back=days[1])
    assert [job.id for job in of_kind(plan)] == [f"{p.id}:take-off-1", f"{p.id}:take-off-2"]


def test_what_gives_no_more_is_only_cleared(sample_plan):
    for p in again(sample_plan):
        assert not of_kind(left(sample_plan, p.id, back=p.lots[-1].ready + timedelta(days=1)))


def test_of_one_day_it_is_one_job(sample_plan):
    back = date(2027, 1, 20)
    mine = [p for p in again(sample_plan) if p.lots[0].ready < back < p.lots[-1].ready]
    assert len({p.crop for p in mine}) > 1
    (job,) = of_kind(left(sample_plan, *(p.id for p in mine), back=back))
    assert {part.planting for part in job.parts} == {p.id for p in mine}
    assert job.title.startswith("Take off overgrown ") and " and " in job.title


def test_the_plan_file_keeps_it(sample_plan):
    plan = left(sample_plan, again(sample_plan)[0].id, back=date(2027, 1, 20))
    assert from_json(to_json(plan)) == plan
