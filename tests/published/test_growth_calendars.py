"""What is sown and planted when, and lifted when, against calendars of places far apart.

- Canterbury, New Zealand: garlic is set on the shortest day and lifted on the longest (Sunday News,
  23 October 2022). Dunedin: early potatoes go in from August (Otago Daily Times, "Your garden").
- Central Chile: garlic is set from March to June, farther south in June and early July
  (kaifood.cl); onion plants go out in August and September (from memory).
- Tokachi, Hokkaido: sweet corn is sown in May for September, squash lifted in September
  (tokuchi.jp); potatoes are dug in September until early October (Hokkaido Shimbun, Obihiro).
- Anchorage: cabbages, carrots and beetroot go out or in about the last Monday of May (Anchorage
  Daily News, 30 May 2019). Fairbanks: hardy plants up to two weeks before the first of June
  (deltanewsweb.com, 21 March 2017).
- Cape Town in July: broad beans, beetroot, chard, lettuce, parsley, peas, potatoes and radishes
  (harfield-village.co.za, July 2022).
- Phoenix: lettuce and spinach from September on, carrots from September to the end of winter,
  sweet corn from the middle of February to the middle of March and again in August, okra from
  March, onion plants from November for May: University of Arizona, planting calendar of Maricopa
  County (from memory).
- Ireland: first early potatoes planted about the middle of March take 100 days (quickcrop.ie), here
  taken as a week more or less; in Britain those of late March and early April around 13 weeks
  (gardennewsmagazine.co.uk, "Plant early potatoes"), others 10 to 12 (kirktowngardencentre.co.uk);
  broad beans of November are picked in June, leeks of March pulled from September on (from memory).
- Israel: broccoli is planted from September to November for the winter, onions for May (from
  memory). Hawai'i: tomatoes, beans, pak choi and cucumbers the year round (from memory).
- Buenos Aires: garlic from March to May for November and December, broad beans from April to June,
  chard and carrots the year round (National Institute of Agricultural Technology; from memory).

Harvests are those of the first and the last day told of, in the likely weather.
"""

from datetime import date, timedelta
from functools import lru_cache

import numpy as np
import pytest

from sowplan.growth.courses import Conditions
from sowplan.growth.evolve import evolve
from sowplan.records.crop_table import read_crops
from sowplan.records.garden import Climate, Site
from sowplan.site.sky import sky
from sowplan.site.towns import all_towns

CROPS = read_crops()[0]
TOWNS = {town.name: town for town in reversed(all_towns())}
START = date(2026, 1, 1)
WAYS = {
    "direct": Conditions(False),
    "raised": Conditions(True, "none", 18.0, 12.0),
    "bought": Conditions(True, bought=True),
}
YEAR = ((1, 1), (12, 31))


@lru_cache
def outlook(name):
    t = TOWNS[name]
    site = Site(name, t.latitude, t.longitude, t.timezone, t.elevation_m)
    return sky(site, Climate(tmin=t.tmin, tmax=t.tmax), START, 1000)


def told(key, name, way, first, last):
    """Return the courses of all days from the first to the last, as (month, day)."""
    a = (date(2026, *first) - START).days
    b = (date(2026 + (last < first), *last) - START).days
    return evolve(CROPS[key], outlook(name), np.arange(a, b + 1), WAYS[way])


@pytest.mark.parametrize(
    ("key", "name", "way", "first", "last", "ready", "over"),
    [
        ("garlic", "Christchurch", "direct", (6, 14), (6, 28), (12, 14), (1, 7)),
        ("potato-early", "Dunedin", "direct", (8, 10), (9, 10), (11, 15), (12, 25)),
        ("garlic", "Santiago", "direct", (3, 15), (6, 30), (11, 1), (12, 31)),
        ("garlic", "Concepción", "direct", (6, 1), (7, 7), (11, 15), (1, 15)),
        ("onion-intermediate", "Santiago", "bought", (8, 1), (9, 30), (12, 1), (2, 28)),
        ("sweet-corn", "Sapporo", "direct", (5, 25), (6, 5), (8, 20), (9, 30)),
        ("potato", "Sapporo", "direct", (4, 25), (5, 15), (8, 25), (10, 10)),
        ("onion-long-day", "Sapporo", "bought", (4, 25), (5, 10), (8, 1), (9, 15)),
        ("winter-squash", "Sapporo", "bought", (6, 5), (6, 25), (8, 20), (10, 5)),
        ("cabbage-summer", "Anchorage", "bought", (5, 24), (6, 5), (8, 1), (9, 15)),
        ("carrot", "Anchorage", "direct", (5, 20), (6, 5), (8, 15), (9, 20)),
        ("beetroot", "Anchorage", "direct", (5, 20), (6, 5), (7, 25), (8, 31)),
        ("broccoli", "Fairbanks", "bought", (5, 20), (6, 5), (7, 10), (8, 15)),
        ("lettuce-romaine", "Phoenix", "raised", (9, 15), (12, 15), (11, 15), (4, 15)),
        ("spinach", "Phoenix", "direct", (9, 15), (1, 15), (10, 25), (3, 31)),
        ("carrot", "Phoenix", "direct", (9, 15), (2, 28), (12, 1), (6, 30)),
        ("okra", "Phoenix", "direct", (3, 20), (6, 1), (5, 15), (8, 10)),
        ("sweet-corn", "Phoenix", "direct", (2, 22), (3, 15), (5, 10), (6, 15)),
        ("sweet-corn", "Phoenix", "direct", (8, 1), (8, 31), (10, 10), (11, 30)),
        ("onion-short-day", "Phoenix", "bought", (11, 1), (1, 20), (4, 20), (6, 15)),
        ("broad-bean", "Dublin", "direct", (10, 25), (11, 30), (5, 25), (6, 30)),
        ("leek", "Galway", "raised", (3, 1), (4, 15), (8, 20), (10, 31)),
        ("broccoli", "Tel Aviv", "bought", (9, 1), (11, 30), (11, 1), (3, 15)),
        ("onion-short-day", "Tel Aviv", "bought", (11, 15), (1, 15), (4, 15), (6, 15)),
        ("garlic", "Buenos Aires", "direct", (4, 1), (5, 15), (11, 1), (12, 31)),
        ("broad-bean", "Buenos Aires", "direct", (4, 1), (6, 30), (7, 20), (11, 15)),
    ],
)
def test_sown_when_they_say_it_is_fit_when_they_say(key, name, way, first, last, ready, over):
    table = told(key, name, way, first, last)
    assert table.feasible.all(), [reason for reason in table.reason if reason][:1]
    assert table.size.min() > 0.8
    found = [START + timedelta(int(day)) for day in table.harvest_start[[0, -1]]]
    years = (found[0].year - 1, found[0].year, found[0].year + 1)
    start = min((date(y, *ready) for y in years), key=lambda day: abs((day - found[0]).days))
    end = date(start.year + (over < ready), *over)
    assert start <= found[0] and found[1] <= end, found


@pytest.mark.parametrize(
    "key",
    "broad-bean beetroot chard lettuce-butterhead parsley pea potato-early radish".split(),
)
def test_cape_town_sows_in_july(key):
    assert told(key, "Cape Town", "direct", (7, 1), (7, 31)).feasible.all()


@pytest.mark.parametrize(
    ("key", "name", "way"),
    [
        ("tomato", "Honolulu", "bought"),
        ("bush-bean", "Honolulu", "direct"),
        ("pak-choi", "Honolulu", "raised"),
        ("cucumber", "Honolulu", "direct"),
        ("chard", "Buenos Aires", "direct"),
        ("carrot", "Buenos Aires", "direct"),
    ],
)
def test_some_crops_are_sown_the_year_round(key, name, way):
    assert told(key, name, way, *YEAR).feasible.all()


def test_first_early_potatoes_take_the_weeks_told_in_britain_and_ireland():
    for name, first, last, low, high in (
        ("London", (3, 20), (4, 5), 70, 91),
        ("Cork", (3, 17), (3, 25), 93, 107),
    ):
        table = told("potato-early", name, "direct", first, last)
        days = np.median((table.harvest_start - table.sow)[table.feasible])
        assert low <= days <= high, (name, days)
