"""From a season begun back to a plan: ids that stay, harvests had and to come, how good it is."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from sowplan.season.assemble import (
    period_of,
    place_of,
    plan_crop,
    planting_of,
    quality_of,
    site_of,
    sky_of,
)
from sowplan.season.bound.model import Relaxation
from sowplan.season.choices.instance import Batch
from sowplan.season.choices.sun import sun_of
from sowplan.season.plan import (
    STOPPED,
    UNBOUNDED,
    UNREASONED,
    Plan,
    Planting,
    PlanTray,
    Quality,
    WantPeriod,
)
from sowplan.season.revise.begun import Begun
from sowplan.season.revise.changes import (
    ANEW,
    CRUMB,
    cleared_sooner,
    done_alike,
)
from sowplan.season.revise.named import named
from sowplan.season.revise.own import own_gone
from sowplan.season.revise.so_far import NO_HARVEST
from sowplan.season.revise.stood import Gone
from sowplan.season.search.service import hand_out
from sowplan.season.watch import REASONS, Watch

SAME_HARVEST_DAYS = 1
"""Harvests expected so many days apart are the same."""

METHOD = (
    "planned again from {day}: what is sown stands; of the rest as little as can be was changed, "
    "and only where it could not stay or that brings more of what is wanted"
)
METHOD_ANEW = (
    f"{ANEW} {{day}}: what is sown stands; the rest was sought as for a new season and as a "
    "change of the plan so far, and the better of the two is kept"
)
BOUND_BY = (
    "for what is still to come, a reckoning in which all beds of a kind are one large bed and "
    "plants may be divided; what is missing even then is missing from every real plan"
)


def unchanged(begun: Begun) -> bool:
    """Return whether all is and stands as it was planned, but for what was cleared once had."""
    state, plan = begun.state, begun.plan
    if state.gone or begun.moved:
        return False
    if not all(cleared_sooner(state.was[p.id], p) for p in state.stands if p.id in state.was):
        return False
    as_planned = {id(batch) for batch in (begun.stands | begun.kept).values()}
    if {id(batch) for batch in begun.standing.batches.values()} != as_planned:
        return False
    if len(begun.kept) != len(state.futures):
        return False
    frame = _frame(begun)
    if any(getattr(plan, name) != value for name, value in frame.items()):
        return False
    old = {p.id: p for p in plan.plantings}
    if not all(_as_expected(_planting(begun, b, n, old), old[n]) for n, b in begun.kept.items()):
        return False
    batches, _ = named(begun) if state.was else ((), ())
    now = _wants(begun, {}, batches)
    if [_asked(want) for want in plan.wants] != [_asked(want) for want in now]:
        return False
    if abs(wanted_in_all(begun) - plan.quality.wanted) > CRUMB:
        return False
    pairs = zip(plan.wants, now, strict=True) if state.was else ()
    return all(abs(was.met - want.met) < CRUMB for was, want in pairs)


def freed(begun: Begun) -> bool:
    """Return whether ground is free that the plan has as taken still."""
    was = begun.state.was
    return any(
        was[p.id].cleared > begun.today >= p.cleared for p in begun.state.stands if p.id in was
    )


def _asked(want: WantPeriod) -> tuple:
    return want.want, want.crop, want.start, want.end, want.unit, want.wanted


def renewed(
    begun: Begun, relaxation: Relaxation, anew: bool = False, watch: Watch | None = None
) -> tuple[Plan, list[Gone]]:
    """Return the plan of a season begun as it now stands, and what was dropped from it."""
    plan, book = begun.plan, begun.book
    batches, dropped = named(begun)
    old = {p.id: p for p in plan.plantings}
    plantings = {p.id: p for p in begun.state.stands}
    for batch, name in batches:
        if name not in plantings:
            plantings[name] = _planting(begun, batch, name, old)
    wants = _wants(begun, plantings, batches)
    ordered = sorted(plantings.values(), key=lambda p: _order(begun, p))
    lost = [one.planting.id for one in (*begun.state.gone, *dropped) if not one.stays]
    made = replace(
        plan,
        **_frame(begun),
        plantings=tuple(ordered),
        wants=wants,
        quality=_quality(begun, relaxation, wants, METHOD_ANEW if anew else METHOD),
        revision=plan.revision + 1,
        revised=begun.today,
        retired=(*plan.retired, *lost),
        own_gone=own_gone(plan, begun.state),
    )
    used = {p.crop for p in made.plantings} | {w.crop for w in wants}
    made = replace(made, crops=tuple(plan_crop(crop) for crop in book.crops if crop.key in used))
    return _told(begun, made, watch or Watch()), dropped


def _planting(begun: Begun, batch: Batch, name: str, old: dict[str, Planting]) -> Planting:
    """Return a batch as a planting: the old one itself where only the spread of its dates differs.

    Early and late dates come by rank among the weathers, of which a record may hold one more or
    less for a season looked at from a later day.
    """
    made, was = planting_of(begun.book, batch, name), old.get(name)
    if was is None:
        return made
    spread = ("emergence", "harvest_start_early", "harvest_start_late")
    same = replace(made, **{field: getattr(was, field) for field in spread}) == was
    return was if same else made


def _as_expected(now: Planting, was: Planting) -> bool:
    """Return whether a planting is as it was, but for harvests expected a day sooner or later.

    The middle of a record of years may move by a day where the season is looked at from a later
    one. Nobody does anything otherwise for that.
    """
    if now == was:
        return True
    if len(now.lots) != len(was.lots):
        return False
    days = [(now.harvest_start, was.harvest_start), (now.harvest_end, was.harvest_end)]
    for lot, before in zip(now.lots, was.lots, strict=True):
        if lot.amount != before.amount:
            return False
        days += [(lot.ready, before.ready), (lot.last, before.last)]
    if any(abs((one - other).days) > SAME_HARVEST_DAYS for one, other in days):
        return False
    return done_alike(was, now)


def _frame(begun: Begun) -> dict[str, object]:
    """Return what a plan carries of its garden, as the garden file now is.

    Days before today keep the sky they had; places and trays that are no more stay for what
    stood in them.
    """
    plan, garden = begun.plan, begun.garden
    whole = replace(begun.book, garden=garden)
    sun = sun_of(garden, whole.places)
    there = {p.name for p in garden.places} | {p.place for p in begun.state.stands}
    here = [place_of(p, sun.get(p.name)) for p in whole.places if p.name in there]
    trays = tuple(PlanTray(tray.name, tray.cells) for tray in garden.trays)
    known = {tray.name for tray in trays}
    used = {p.tray for p in begun.state.stands if p.tray and p.tray not in known}
    before = tuple(day for day in plan.sky if day.day < begun.today)
    return {
        "site": replace(site_of(whole), plan_id=plan.site.plan_id),
        "sky": before + sky_of(begun.book),
        "places": tuple(here),
        "trays": trays + tuple(tray for tray in plan.trays if tray.name in used),
    }


def _order(begun: Begun, p: Planting) -> tuple:
    numbers = begun.numbers
    return p.sow, numbers.crops[p.crop], numbers.spots[p.place], numbers.mask(p), p.id


# -- what is wanted and what comes of it


def _wants(begun: Begun, plantings, named) -> tuple[WantPeriod, ...]:
    """Return every period of every want: those that are over, and those to come handed out anew."""
    rows = []
    ids = [p.id for p in begun.state.stands]
    old = {(w.want, w.crop, w.start): w for w in begun.plan.wants}
    names = {id(batch): name for batch, name in named}
    for crop, (case, past) in enumerate(zip(begun.book.instance.crops, begun.past, strict=True)):
        for n, given in enumerate(past.served):
            rows.append(_period(begun, crop, past.periods, n, [(ids[i], a) for i, a in given], old))
        lots, owner = [], []
        for batch in begun.standing.of_crop[crop].values() if named else ():
            for ready, expiry, share in case.options.lots[batch.option]:
                if ready < NO_HARVEST[0]:
                    lots.append((ready, expiry, share * batch.plants))
                    owner.append(names[id(batch)])
        served: list[dict[str, float]] = [{} for _ in range(len(case.periods))]
        for period, lot, amount in hand_out(case.periods, lots):
            mine = served[period]
            mine[owner[lot]] = mine.get(owner[lot], 0.0) + amount
        for n, mine in enumerate(served):
            rows.append(_period(begun, crop, case.periods, n, list(mine.items()), old))
    return tuple(sorted(rows, key=lambda row: (row.want, row.start)))


def _period(begun: Begun, crop: int, periods, n: int, given, old) -> WantPeriod:
    book, number = begun.book, int(periods.want[n])
    want = begun.garden.wants[number]
    scale = float(periods.need[n]) / want.amount  # plants whose yield is one unit
    found = period_of(book, want, number, periods, n, scale, given)
    before = old.get((number, want.crop, found.start))
    if found.end < begun.today and before and found.met < want.amount:
        return replace(found, why=before.why)
    return found


def wanted_in_all(begun: Begun) -> float:
    """Return all that is wanted in the whole season [want-weeks]."""
    over = sum(float((past.periods.need * past.periods.weight).sum()) for past in begun.past)
    return over + begun.book.instance.wanted


def _quality(begun: Begun, relaxation: Relaxation, wants, method: str) -> Quality:
    """Return how good the season is as a whole, what is over counted in."""
    instance = begun.book.instance
    weight = {
        (int(periods.want[n]), begun.book.day(periods.start[n])): float(
            periods.need[n] * periods.weight[n]
        )
        for case, past in zip(instance.crops, begun.past, strict=True)
        for periods in (case.periods, past.periods)
        for n in range(len(periods))
    }
    wanted = wanted_in_all(begun)
    missing = sum((1.0 - w.met / w.wanted) * weight[w.want, w.start] for w in wants)
    over = sum(past.missing for past in begun.past)
    score = begun.standing.score()
    wasted = sum(past.wasted for past in begun.past) + score.wasted
    stands = {p.sowing for p in begun.state.stands if not p.fixed}
    return quality_of(
        wanted,
        missing,
        over + relaxation.bound,
        wasted,
        len(stands) + score.sowings,
        BOUND_BY if relaxation.solved else UNBOUNDED,
        method.format(day=begun.today.isoformat()),
    )


def _told(begun: Begun, made: Plan, watch: Watch) -> Plan:
    """Return the plan with the reasons of what is missing, and its notes.

    What one bed or tray more would bring is not worked out again: half the season is over.
    """
    from sowplan.season.between import between_notes
    from sowplan.season.in_vain import vain_notes
    from sowplan.season.onward import onward_notes
    from sowplan.season.reasons.notes import notes_on, overgrown_notes, scarce
    from sowplan.season.reasons.why import reasons_in_turn
    from sowplan.season.revise.new_places import new_place_notes

    open_ = tuple(want for want in made.wants if want.end >= begun.today)
    why: dict[tuple[int, date], str] = {}
    between, ended = (), ""
    watch.begin(REASONS)
    try:
        with watch.breakable():
            for words in reasons_in_turn(begun.book, begun.standing, open_):
                why |= words
            between = between_notes(begun.book, made, begun.today)
    except KeyboardInterrupt:  # a plan without some of its reasons is a plan all the same
        ended = UNREASONED
    notes = notes_on(begun.book, begun.standing)
    notes += vain_notes(made)
    notes += overgrown_notes(made, begun.today)
    notes += onward_notes(made)
    notes += new_place_notes(begun.book, begun.plan, made, begun.today)
    notes += between
    lacking = scarce(made)
    wants = tuple(replace(w, why=why.get((w.want, w.start), w.why)) for w in made.wants)
    quality = replace(made.quality, method=made.quality.method + ended)
    notes = ((lacking,) if lacking else ()) + notes
    return replace(made, wants=wants, gains=(), notes=notes, quality=quality)


def stopped_early(plan: Plan) -> Plan:
    """Return a plan whose method says that Ctrl-C ended the search for it."""
    method, ended, _ = plan.quality.method.partition(UNREASONED)
    method += STOPPED + ended
    return replace(plan, quality=replace(plan.quality, method=method))
