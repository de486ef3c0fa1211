"""A garden in, a plan out: the stages of `season` in their order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from sowplan.problem import Problem
from sowplan.records.crop import Crop
from sowplan.records.garden import Garden
from sowplan.season.assemble import assemble
from sowplan.season.between import between_notes
from sowplan.season.bound.model import relax
from sowplan.season.choices.book import Book
from sowplan.season.choices.candidates import book_of
from sowplan.season.choices.instance import Ints
from sowplan.season.choices.late import late_days
from sowplan.season.in_vain import vain_notes
from sowplan.season.onward import onward_notes
from sowplan.season.plan import STOPPED, Plan
from sowplan.season.reasons.lifted import gains_of
from sowplan.season.reasons.notes import notes_on, overgrown_notes, scarce
from sowplan.season.reasons.why import reasons
from sowplan.season.search.filling import fill_up
from sowplan.season.search.interval import sow_at_intervals
from sowplan.season.search.search import Progress, Search, Shares, in_shares, rounds_for
from sowplan.season.search.standing import Standing
from sowplan.season.settled import cannot_be, settle
from sowplan.season.tidy.places import tidy

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
    progress: Shares | None = None,
) -> tuple[Plan | None, list[Problem]]:
    """Plan a garden's season.

    Parameters
    ----------
    garden : Garden
        Read and checked.
    crops : dict of str to Crop
        The crops it may name.
    effort : float
        Work to spend, as a multiple of the usual; the same effort gives the same plan anywhere.
    safety : float
        Share of years in which harvests should be there by the planned day, 0.5 to 0.99.
    fixed_interval : bool
        Sow by the rule of thumb instead of searching: each crop every so many weeks.
    progress : callable, optional
        Told how far the work is. Raising ``KeyboardInterrupt`` in it, or Ctrl-C from when the
        search begins, ends the work with the best plan so far, which its ``method`` then says;
        while the reasons are looked into, it leaves them out.

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
    book = book_of(garden, crops, safety)
    relaxation = relax(book.instance)
    search = Search(book.instance, relaxation)
    problems = settle(book, search.standing)
    if problems:
        return None, problems
    if fixed_interval:
        weeks = sow_at_intervals(search.standing) // 7
        tidy(search.standing, effort=effort)
        often = "week" if weeks == 1 else f"{weeks} weeks"
        method = f"rule of thumb: each crop every {often}, the best of 1, 2 and 3 weeks"
        return _finish(book, search, method), []
    told = in_shares(book.instance, progress)
    stopped = _improve(search, effort, told, late_days(book))
    return _finish(book, search, METHOD, stopped), []


def _improve(search: Search, effort: float, told: Progress | None, late: Sequence[Ints]) -> bool:
    """Search, fill up and tidy; return whether stopped on the way, with the best so far in hand."""
    crops = range(len(search.instance.crops))
    try:
        stopped = search.run(rounds_for(search.instance, effort), told, late)
        fill_up(search.standing, crops)
        search.keep()
        tidy(search.standing, effort=effort)
        fill_up(search.standing, crops)  # into room that has come together
    except KeyboardInterrupt:  # while it is tidied up: that, half done, is thrown away
        stopped = True
        search.standing = Standing(search.instance)
        search.restore()
    return stopped


def _finish(book: Book, search: Search, method: str, stopped: bool = False) -> Plan:
    batches, standing = list(search.standing.batches.values()), search.standing
    notes = notes_on(book, standing)
    plan = assemble(book, batches, search.relaxation.bound, BOUND_BY, method, notes)
    why, gains, between = {}, (), ()
    try:
        why = reasons(book, standing, plan.wants)
        between = between_notes(book, plan)
        gains = gains_of(book, standing)
    except KeyboardInterrupt:  # a plan without some of its reasons is a plan all the same
        stopped = True
    wants = tuple(
        replace(period, why=why.get((period.want, period.start), "")) for period in plan.wants
    )
    lacking = scarce(plan)
    told = vain_notes(plan) + overgrown_notes(plan) + onward_notes(plan) + between
    notes = ((lacking,) if lacking else ()) + plan.notes + told
    quality = replace(plan.quality, method=method + STOPPED) if stopped else plan.quality
    return replace(plan, wants=wants, notes=notes, gains=gains, safety=book.safety, quality=quality)
