"""What goes on giving when a season ends is not cleared for that, and stands in the next one."""

from dataclasses import replace
from datetime import date, timedelta
from types import SimpleNamespace

import numpy as np
import pytest

from sowplan.export.bed_on import bed_on, told
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Bed, Climate, FixedSowing, Garden, Season, Site, Want, Where
from sowplan.season.carried import carried
from sowplan.season.onward import last_harvest_day, stands_on
from sowplan.season.planner import make_plan
from sowplan.supply.tasks import jobs

CROPS, _ = read_crops()
AT = Where("garden.toml", "[[bed]] 1", 1)
DAY = timedelta(days=1)
SEASON = Season(date(2026, 4, 1), date(2027, 3, 31), (5,))
TMIN = (12.0, 12.0, 10.0, 7.0, 5.0, 3.0, 2.0, 3.0, 5.0, 7.0, 9.0, 11.0)


def garden(until=SEASON.end, **changes):
    """Return a mild garden at 41° S that wants chard, cut again and again, until a day."""
    return replace(
        Garden(
            file="garden.toml",
            site=Site("Mild", -41.0, 147.0, "Australia/Hobart"),
            climate=Climate(tmin=TMIN, tmax=tuple(t + 12.0 for t in TMIN)),
            season=SEASON,
            beds=(Bed("Plot", 2.0, 0.9, 0.4, AT),),
            wants=(
                Want("chard", 1, "bunch", 7, date(2027, 3, 8), until, AT),
                Want("radish", 1, "bunch", 7, date(2027, 3, 1), SEASON.end, AT),
            ),
        ),
        **changes,
    )


def planned(place):
    plan, problems = make_plan(place, CROPS, effort=0.2)
    assert problems == []
    return plan


def cleared(plan):
    """Return the plantings that have a job to clear them."""
    return {one.planting for one in jobs(plan) if one.kind == "clear"}


def last_of(plan, crop):
    return max((p for p in plan.plantings if p.crop == crop), key=lambda p: (p.cleared, p.id))


def test_what_would_go_on_is_not_cleared_for_the_seasons_end():
    # Chard is biennial: sown in early summer it is cut until winter or the next spring
    # (seed packets); no end of March ends it.
    place = garden()
    plan = planned(place)
    chard, radish = last_of(plan, "chard"), last_of(plan, "radish")
    assert chard.stands_on and not radish.stands_on
    assert chard.id not in cleared(plan) and radish.id in cleared(plan)
    (note,) = [note for note in plan.notes if "stands on" in note or "stand on" in note]
    assert note.startswith("Swiss chard (Plot)")
    ahead = told(plan, bed_on(plan, "Plot", SEASON.end - 2 * DAY))
    assert any("Swiss chard" in line and "stands on into next season" in line for line in ahead)
    handed, problems = carried(plan, place, CROPS)
    assert problems == []
    (own,) = {s for s in handed.sowings if (s.crop, s.day) == ("chard", chard.sow)}
    assert (own.until, own.place) == (None, "Plot")
    # What is handed on gives in the new season, with nothing else sown: it was not the end of it.
    next_year = replace(
        place,
        season=Season(date(2027, 4, 1), date(2027, 8, 31), (5,)),
        wants=(Want("chard", 1, "bunch", 7, date(2027, 4, 2), date(2027, 4, 15), AT),),
        sowings=(own,),
    )
    assert sum(w.met for w in planned(next_year).wants) > 0


def test_what_is_wanted_no_more_before_the_end_is_cleared_as_ever():
    plan = planned(garden(until=date(2027, 3, 21)))
    chard = last_of(plan, "chard")
    assert not chard.stands_on and chard.cleared <= date(2027, 3, 22)
    assert chard.id in cleared(plan)
    assert not any("next season" in note and "on into" in note for note in plan.notes)


def test_the_gardeners_own_last_day_holds():
    own = FixedSowing("chard", date(2026, 12, 26), 4, AT, "Plot", until=SEASON.end)
    plan = planned(garden(sowings=(own,)))
    (mine,) = [p for p in plan.plantings if p.fixed]
    assert not mine.stands_on and mine.cleared == SEASON.end + DAY


@pytest.mark.parametrize(
    ("key", "ready", "frost", "clear", "expected"),
    [
        ("chard", (20, 50, 70), None, 60, True),
        ("chard", (20, 50, 59), None, 60, False),  # nothing more comes
        ("chard", (20, 50, 70), None, 59, False),  # it goes before the season does
        ("chard", (20, 50, 70), 65, 60, True),  # hardy
        ("bush-bean", (20, 50, 70), 65, 60, False),  # frost comes before the next pick
        ("bush-bean", (20, 50, 70), 75, 60, True),
        ("lettuce-butterhead", (20, 70), None, 60, False),  # lifted once
    ],
)
def test_it_stands_on_for_harvests_to_come(key, ready, frost, clear, expected):
    first = date(2027, 1, 1)
    season = Season(first, first + 59 * DAY)  # day 59 is its last: from day 60 on it is over
    safe = np.arange(120) < (120 if frost is None else frost)
    sky = SimpleNamespace(
        series=SimpleNamespace(start=first), frost=SimpleNamespace(safe=lambda *_: safe)
    )
    fit = [first + n * DAY for n in ready]
    found = stands_on(CROPS[key], True, fit, first + clear * DAY, season, sky, 0.1)
    assert found is expected


def test_the_last_day_to_harvest_is_the_gardeners():
    # 31 March 2027 is a Wednesday; the Friday before it is the 26th.
    assert last_harvest_day(SEASON) == date(2027, 3, 31)
    assert last_harvest_day(replace(SEASON, harvest_on=(4,))) == date(2027, 3, 26)
    away = ((date(2027, 3, 20), date(2027, 4, 4)),)
    assert last_harvest_day(replace(SEASON, away=away)) == date(2027, 3, 19)
