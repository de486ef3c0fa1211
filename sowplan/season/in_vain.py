"""What is sown in the face of what the plan knows, because the gardener says so (`even_so`).

What nothing comes of is told and never counted on; what outgrows its cell and is held, potted on,
is told and counted on from the day it goes out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from sowplan.growth.reasons import day_words
from sowplan.season.plan import Plan, Planting
from sowplan.season.words import listed


def vain_notes(plan: Plan) -> tuple[str, ...]:
    """Return a sentence or two for each sowing of a plan that stands by the gardener's word."""
    return tuple(vain_words(plan.plantings, {crop.key: crop.name for crop in plan.crops}))


def vain_words(plantings: Iterable[Planting], names: Mapping[str, str]) -> Iterator[str]:
    """Yield a sentence or two for each sowing that stands even so, its strips and places together.

    Parameters
    ----------
    plantings : iterable of Planting
        Those of which the plan thinks nothing amiss are left out.
    names : mapping of str to str
        What the crops are called, by key.
    """
    sowings: dict[tuple[object, ...], list[Planting]] = {}
    for p in plantings:
        if p.in_vain or p.held:
            sowings.setdefault((p.sowing, p.cleared), []).append(p)
    for strips in sowings.values():
        p = strips[0]
        done = "planted out" if p.bought else "sown"
        where = listed(list(dict.fromkeys(strip.place for strip in strips)))
        if p.held:
            yield (
                f"{names[p.crop]} sown on {day_words(p.sow)} for {where} {p.held}. Pot it on and "
                f"hold it until it goes out, about {day_words(p.occupies_from)}: its harvest is "
                "reckoned from then."
            )
            continue
        out = "" if p.bought or p.planting_out is None else day_words(p.planting_out)
        yield (
            f"{names[p.crop]} {done} on {day_words(p.sow)} in {where} stands there even so: "
            f"{p.in_vain}. {f'It goes out about {out}. ' if out else ''}No harvest of it is "
            f"counted on, and its ground can be used again from {day_words(p.cleared)}."
        )
