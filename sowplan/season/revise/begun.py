"""A season partly gone and planned again: what stands, and the old plan's sowings to come."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from sowplan.problem import Problem
from sowplan.records.crop import Crop
from sowplan.records.garden import Garden
from sowplan.season.choices.book import Book
from sowplan.season.choices.candidates import book_of
from sowplan.season.choices.instance import Batch
from sowplan.season.plan import Plan
from sowplan.season.revise.kept import Future, as_planned, on_its_days, put_back, with_ends
from sowplan.season.revise.numbers import Numbers, numbers_for
from sowplan.season.revise.own import own_sowings
from sowplan.season.revise.own_days import with_own_days
from sowplan.season.revise.so_far import Past, begin
from sowplan.season.revise.stood import State
from sowplan.season.search.standing import Standing
from sowplan.season.settled import settle


@dataclass(frozen=True, eq=False)
class Begun:
    """A season partly gone, with the old plan's sowings to come on the beds again."""

    plan: Plan
    garden: Garden
    today: date
    state: State
    numbers: Numbers
    standing: Standing
    stands: dict[str, Batch]  # by planting id
    kept: dict[str, Batch]  # futures that stand exactly as planned
    moved: dict[str, Batch]  # futures that found another place or day
    past: tuple[Past, ...]
    many: int  # sowings to come in the old plan, but for the gardener's own
    no_room: frozenset[str] = frozenset()  # futures that found none
    needless: frozenset[str] = frozenset()  # futures that bring nothing that is wanted now

    @property
    def book(self) -> Book:
        """What may still be sown, and what stands."""
        return self.numbers.book


def begin_again(
    plan: Plan, garden: Garden, crops: dict[str, Crop], today: date, state: State
) -> tuple[Begun | None, list[Problem]]:
    """Put what stands and what was still to be sown onto the beds as they are now."""
    own, sowings, edited = own_sowings(garden, state, plan.own_gone)
    first = max(today, garden.season.start)
    rest = replace(garden, season=replace(garden.season, start=first), sowings=tuple(sowings))
    book = book_of(rest, crops, plan.safety)
    plantings = [*state.stands, *state.futures]
    numbers = numbers_for(book, plan, plantings, crops)
    book = numbers.book
    day = book.index(first)
    coming = [p for p in state.futures if p.id not in edited]
    futures = [numbers.future(p, own.get(p.id, -1)) for p in coming]
    book = with_own_days(book, futures)
    stands = [numbers.stand(p) for p in state.stands]
    gone_days = (first - garden.season.start).days
    instance, fixed, past = begin(book.instance, stands, day, max(gone_days - day, 0))
    instance, options = with_ends(instance, futures)
    book = replace(book, instance=instance)
    standing, again, problems = _on_the_beds(book, fixed, futures, options)
    if problems:  # the gardener's own sowings first, then
        standing, again, problems = _on_the_beds(book, fixed, futures, options, own_first=True)
    if problems:
        return None, problems
    kept, moved = {}, {}
    for p, future, option, batch in zip(coming, futures, options, again, strict=True):
        if batch is not None:
            exact = on_its_days(instance, future, option)
            exact = exact and batch == as_planned(instance, future, option)
            (kept if exact else moved)[p.id] = batch
    by_number = {
        instance.crops[b.crop].options.rows[b.option][5]: b
        for b in standing.batches.values()
        if b.fixed
    }
    for name, number in edited.items():
        if by_number[number] not in moved.values():
            moved[name] = by_number[number]
    no_room = {p.id for p in state.futures} - kept.keys() - moved.keys()
    many = sum(future.fixed < 0 for future in futures)
    by_id = {p.id: batch for p, batch in zip(state.stands, fixed, strict=True)}
    return (
        Begun(
            plan, garden, first, state, replace(numbers, book=book), standing, by_id,
            kept, moved, tuple(past), many, frozenset(no_room),
        ),
        [],
    )  # fmt: skip


def _on_the_beds(
    book: Book,
    fixed: Sequence[Batch],
    futures: Sequence[Future],
    options: Sequence[int | None],
    own_first: bool = False,
) -> tuple[Standing, list[Batch | None], list[Problem]]:
    """Put on the beds what stands, what was still to be sown, and the gardener's own sowings.

    Those that are as they were come before all else. New and edited ones come last, so that
    nothing has to make way where there is room enough; or with ``own_first`` before the others.
    """
    standing = Standing(book.instance)
    for batch in fixed:
        standing.add(batch)
    again: list[Batch | None] = [None] * len(futures)
    own = [n for n, future in enumerate(futures) if future.fixed >= 0]
    others = [n for n, future in enumerate(futures) if future.fixed < 0]

    def back(some: list[int]) -> None:
        found = put_back(standing, [futures[n] for n in some], [options[n] for n in some])
        for n, batch in zip(some, found, strict=True):
            again[n] = batch

    back(own)
    if not own_first:
        back(others)
    settled = {futures[n].fixed for n in own}
    for number in {futures[n].fixed for n in own if again[n] is None}:
        settled.discard(number)  # a part found no place: all of it is settled anew
        for n in own:
            if futures[n].fixed == number and again[n] is not None:
                standing.remove(next(k for k, b in standing.batches.items() if b is again[n]))
                again[n] = None
    left = [n for n in range(len(book.garden.sowings)) if n not in settled]
    problems = settle(book, standing, left)
    if own_first:
        back(others)
    return standing, again, problems
