"""What stands though nothing comes of it, because the gardener says so: told, never counted on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from sowplan.growth.reasons import day_words
from sowplan.season.plan import Plan, Planting
from sowplan.season.words import listed


def vain_notes(plan: Plan) -> tuple[str, ...]:
    """Return a sentence for each sowing of a plan of which nothing comes."""
    return tuple(vain_words(plan.plantings, {crop.key: crop.name for crop in plan.crops}))


def vain_words(plantings: Iterable[Planting], names: Mapping[str, str]) -> Iterator[str]:
    """Yield a sentence for each sowing of which nothing comes, its strips and places together.

    Parameters
    ----------
    plantings : iterable of Planting
        Those that bring a harvest are left out.
    names : mapping of str to str
        What the crops are called, by key.
    """
    sowings: dict[tuple[object, ...], list[Planting]] = {}
    for p in plantings:
        if p.in_vain:
            sowings.setdefault((p.sowing, p.cleared), []).append(p)
    for strips in sowings.values():
        p = strips[0]
        done = "planted out" if p.bought else "sown"
        where = listed(list(dict.fromkeys(strip.place for strip in strips)))
        out = "" if p.bought or p.planting_out is None else day_words(p.planting_out)
        yield (
            f"{names[p.crop]} {done} on {day_words(p.sow)} in {where} stands there even so: "
            f"{p.in_vain}. {f'It goes out about {out}. ' if out else ''}No harvest of it is "
            f"counted on, and its ground is taken until {day_words(p.harvest_end)}."
        )
