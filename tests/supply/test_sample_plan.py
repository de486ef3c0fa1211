"""The invented season agrees with itself: what is tested on it is tested on a possible plan."""

from __future__ import annotations

from collections import defaultdict
from datetime import timedelta


def test_dates_are_in_order(sample_plan):
    site = sample_plan.site
    for p in sample_plan.plantings:
        assert site.start <= p.sow < p.emergence < p.harvest_start <= p.harvest_end < p.cleared
        assert p.harvest_start_early <= p.harvest_start <= p.harvest_start_late
        assert p.harvest_end <= site.end, p.id
        if p.planting_out:
            assert p.emergence < p.planting_out < p.harvest_start
            assert p.tray and p.cells >= p.plants


def test_nothing_stands_where_something_else_stands(sample_plan):
    by_place = defaultdict(list)
    for p in sample_plan.plantings:
        by_place[p.place].append((p.planting_out or p.sow, p.cleared, p))
    for stays in by_place.values():
        for n, (start, end, p) in enumerate(stays):
            for other_start, other_end, q in stays[n + 1 :]:
                if start < other_end and other_start < end:
                    apart = (
                        p.strip_start_m + p.strip_length_m <= q.strip_start_m + 1e-9
                        or q.strip_start_m + q.strip_length_m <= p.strip_start_m + 1e-9
                        if p.kind == "bed"
                        else not set(p.slots) & set(q.slots)
                    )
                    assert apart, (p.id, q.id)


def test_every_strip_lies_in_its_bed_and_holds_its_plants(sample_plan):
    for p in sample_plan.plantings:
        place = sample_plan.place(p.place)
        if p.kind == "bed":
            inner = place.length_m - 2 * place.edge_m
            assert p.strip_start_m + p.strip_length_m <= inner + 1e-9, p.id
            assert (p.rows - 1) * p.per_row[0] < p.plants <= p.rows * p.per_row[0], p.id
        else:
            assert len(p.slots) == p.plants
            assert max(p.slots) <= (place.holes or place.count)


def test_trays_are_never_overfull(sample_plan):
    for tray in sample_plan.trays:
        raised = [p for p in sample_plan.plantings if p.tray == tray.name]
        for n in range((sample_plan.site.end - sample_plan.site.start).days):
            day = sample_plan.site.start + timedelta(days=n)
            assert sum(p.cells for p in raised if p.sow <= day < p.planting_out) <= tray.cells


def test_wants_add_up(sample_plan):
    given = defaultdict(float)
    for want in sample_plan.wants:
        assert abs(want.met - sum(amount for _, amount in want.served_by)) < 1e-6
        assert want.met <= want.wanted + 1e-9
        assert bool(want.why) == (want.met < want.wanted - 1e-9)
        for planting, amount in want.served_by:
            given[planting] += amount
    for p in sample_plan.plantings:
        assert given[p.id] <= sum(lot.amount for lot in p.lots) + 1e-6


def test_it_is_a_season_worth_testing_on(sample_plan):
    assert len(sample_plan.plantings) >= 30
    assert sample_plan.site.start.year < sample_plan.site.end.year
    assert any(w.why for w in sample_plan.wants) and any(not w.why for w in sample_plan.wants)
    assert len(sample_plan.sky) == (sample_plan.site.end - sample_plan.site.start).days + 1
    assert any(p.fixed for p in sample_plan.plantings)


def test_tender_crops_stand_out_only_between_the_frosts(sample_plan):
    for p in sample_plan.plantings:
        if sample_plan.crop(p.crop).tender:
            stands = p.planting_out or p.emergence
            assert stands >= sample_plan.site.last_frost, p.id
            assert p.harvest_end <= sample_plan.site.first_frost, p.id
