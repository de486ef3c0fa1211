"""A garden in, a plan out: the stages of `season` in their order."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import NamedTuple

from sowplan.problem import Problem
from sowplan.records.crop import Crop
from sowplan.records.garden import Garden
from sowplan.season.assemble import assemble
from sowplan.season.between import between_notes
from sowplan.season.bound.model import Relaxation, relax, unsolved
from sowplan.season.choices.book import Book
from sowplan.season.choices.candidates import book_of
from sowplan.season.choices.late import late_days
from sowplan.season.in_vain import vain_notes
from sowplan.season.onward import onward_notes
from sowplan.season.plan import STOPPED, UNBOUNDED, UNREASONED, Plan
from sowplan.season.reasons.lifted import gains_of
from sowplan.season.reasons.notes import notes_on, overgrown_notes, scarce
from sowplan.season.reasons.why import reasons_in_turn
from sowplan.season.search.interval import sow_at_intervals
from sowplan.season.search.search import Search
from sowplan.season.search.standing import Standing
from sowplan.season.settled import cannot_be, settle
from sowplan.season.sought import FIRST_DAYS, First, first_season, sought, standing_of, tidied
from sowplan.season.watch import BOUND, FIRST, GROWTH, REASONS, SEARCH, Watch

BOUND_BY = (
    "a reckoning in which all beds of a kind are one large bed and plants may be divided; what is "
    "missing even then is missing from every real plan"
)
METHOD = (
    "many small changes tried on the real beds. What counts first is that little is missing, and "
    "more the larger the missing part of one want is, so that each gets a fair share; then that "
    "little is grown for nothing; then that there are few sowings"
)


def make_plan(
    garden: Garden,
    crops: dict[str, Crop],
    *,
    effort: float = 1.0,
    safety: float = 0.5,
    fixed_interval: bool = False,
    watch: Watch | None = None,
) -> tuple[Plan | None, list[Problem]]:
    """Plan a garden's season.

    Parameters
    ----------
    garden : Garden
        Read and checked.
    crops : dict of str to Crop
        The crops it may name.
    effort : float
        Work to spend, as a multiple of the usual; the same effort gives the same plan anywhere,
        and one more whole measure of it never a worse one.
    safety : float
        Share of years in which harvests should be there by the planned day, 0.5 to 0.99.
    fixed_interval : bool
        Sow by the rule of thumb instead of searching: each crop every so many weeks.
    watch : Watch, optional
        Told how far the work is. Once the garden's choices are known there is a plan, and Ctrl-C
        ends the work with the best so far, which its ``method`` then says; while the reasons are
        looked into, it leaves out the rest of them.

    Returns
    -------
    plan : Plan or None
        None where what the gardener has settled cannot be.
    problems : list of Problem
        What cannot be, each with its place in the garden file.
    """
    problems = cannot_be(garden, crops, safety)
    if problems:
        return None, problems
    watch = watch or Watch()
    watch.begin(GROWTH)
    book = book_of(garden, crops, safety)
    standing = Standing(book.instance)
    problems = settle(book, standing)
    if problems:
        return None, problems
    season = _planned(book, standing, effort, watch, fixed_interval)
    return _finish(book, season, watch), []


class _Season(NamedTuple):
    """A season for a plan, the bound of its missing, and how both were had.

    Without a ``relaxation`` it was stopped before the bound was known.
    """

    standing: Standing
    bound: float
    bound_by: str
    method: str
    stopped: bool
    relaxation: Relaxation | None = None


def _planned(
    book: Book, standing: Standing, effort: float, watch: Watch, fixed_interval: bool
) -> _Season:
    """Return the season that is planned; where that is stopped, the best so far."""
    instance = book.instance
    watch.reckon(instance.wanted)
    watch.begin(FIRST)
    first = first_season(standing)
    watch.keep()
    watch.found(first[0].missing)
    watch.begin(BOUND)
    try:
        with watch.breakable():
            relaxation = relax(instance)
    except KeyboardInterrupt:
        begun, _ = tidied(standing_of(instance, first[1]), 1.0, watch)
        method = f"a first plan by the {_rule(FIRST_DAYS)}"
        return _Season(begun, unsolved(instance).bound, UNBOUNDED, method, True)
    watch.bounded(relaxation.bound)
    if fixed_interval:
        standing, method, stopped = _at_intervals(standing, first, watch)
        standing, broken = tidied(standing, effort, watch)
        return _Season(standing, relaxation.bound, BOUND_BY, method, stopped or broken, relaxation)
    search = Search(instance, relaxation)
    search.standing, search.first = standing, first
    stopped = sought(search, effort, watch, late_days(book))
    return _Season(search.standing, relaxation.bound, BOUND_BY, METHOD, stopped, relaxation)


def _at_intervals(standing: Standing, first: First, watch: Watch) -> tuple[Standing, str, bool]:
    """Return the season by the rule of thumb, how it was had, and whether that was stopped."""
    watch.begin(SEARCH)
    try:
        with watch.breakable():
            days = sow_at_intervals(standing)
    except KeyboardInterrupt:
        return standing_of(standing.instance, first[1]), f"{_rule(FIRST_DAYS)}, no other", True
    return standing, f"{_rule(days)}, the best of 1, 2 and 3 weeks", False


def _rule(days: int) -> str:
    weeks = days // 7
    return f"rule of thumb: each crop every {'week' if weeks == 1 else f'{weeks} weeks'}"


def _finish(book: Book, season: _Season, watch: Watch) -> Plan:
    """Return the plan of a season, with its notes and the reasons of what is missing."""
    batches, standing = list(season.standing.batches.values()), season.standing
    notes = notes_on(book, standing)
    plan = assemble(book, batches, season.bound, season.bound_by, season.method, notes)
    why: dict[tuple[int, date], str] = {}
    gains, between, ended = (), (), STOPPED if season.stopped else ""
    watch.begin(REASONS)
    try:
        with watch.breakable():
            for words in reasons_in_turn(book, standing, plan.wants):
                why |= words
            between = between_notes(book, plan)
            if season.relaxation is not None:
                gains = gains_of(book, standing, season.relaxation)
    except KeyboardInterrupt:  # a plan without some of its reasons is a plan all the same
        ended += UNREASONED
    wants = tuple(
        replace(period, why=why.get((period.want, period.start), "")) for period in plan.wants
    )
    lacking = scarce(plan)
    told = vain_notes(plan) + overgrown_notes(plan) + onward_notes(plan) + between
    notes = ((lacking,) if lacking else ()) + plan.notes + told
    quality = replace(plan.quality, method=plan.quality.method + ended)
    return replace(plan, wants=wants, notes=notes, gains=gains, safety=book.safety, quality=quality)
