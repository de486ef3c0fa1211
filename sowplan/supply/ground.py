"""Where a planting stands, in the words one needs with a trowel in hand."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import cached_property, lru_cache

from sowplan.season.plan import Plan, PlanCrop, PlanPlace, Planting
from sowplan.supply.wording import (
    count_text,
    day_text,
    length_text,
    lengths_text,
    numbers_text,
    one_line,
    span_text,
    step_text,
)

ROWS_LISTED = 6
"""So many rows are told one by one; more are told by their first, their last and the gap."""


@dataclass(frozen=True)
class Ground:
    """Where one planting stands: a planting, its crop and its place; ``units`` to tell it in."""

    planting: Planting
    crop: PlanCrop
    place: PlanPlace
    units: str

    @property
    def short(self) -> str:
        """Return ``"Long bed, 80-140 cm"``, ``"Rail, holes 1-12"``."""
        return f"{one_line(self.place.name)}, {self.part}"

    @property
    def rows(self) -> str:
        """Return the rows, holes or pots plant by plant, as one or two sentences."""
        return _told_once(self)

    @property
    def part(self) -> str:
        """Return ``"80-140 cm"`` of a bed, measured from its board; ``"holes 1-12"``."""
        p = self.planting
        if p.kind == "bed":
            start = self.place.edge_m + p.strip_start_m
            return span_text(start, start + p.strip_length_m, self.units)
        return numbers_text(p.slots, "hole" if p.kind == "channel" else "pot")

    def _rows_told(self) -> str:
        p = self.planting
        if p.kind == "channel":
            return self._slots_sentence("hole")
        if p.kind == "pot":
            return self._slots_sentence("pot")
        return self._rows_sentence()

    def _slots_sentence(self, noun: str) -> str:
        p = self.planting
        each, over = divmod(p.plants, len(p.slots)) if p.slots else (0, 0)
        apart, rest = divmod(len(p.slots), p.plants)
        if each >= 1 and not over:
            how = f"{count_text(each, 'plant')} a {noun}"
        elif apart > 1 and not rest:
            how = f"1 plant to every {apart} {noun}s"
        else:
            how = count_text(p.plants, "plant")
        text = numbers_text(p.slots, noun)
        return f"{text[0].upper()}{text[1:]}: {how}."

    def _rows_sentence(self) -> str:
        p = self.planting
        if p.along:
            return self._rows_along()
        first = self.place.edge_m + p.strip_start_m + p.row_lead_m
        marks = [first + n * p.row_pitch_m for n in range(p.rows)]
        if p.rows <= ROWS_LISTED:
            at = lengths_text(marks, self.units)
        else:
            gap = step_text(p.row_pitch_m, p.rows - 1, self.units)
            first_text, last_text = (length_text(m, self.units) for m in (marks[0], marks[-1]))
            at = f"{first_text}, then every {gap}, the last at {last_text}"
        aside, step = self._in_row()
        row = f"{count_text(p.rows, 'row')} across the bed, at {at} along it"
        within = f"{self._per_row()}, the first {length_text(aside, self.units)} from the side"
        if max(self._counts()) > 1:
            within += f", then every {step_text(step, max(self._counts()) - 1, self.units)}"
        offset = p.rows > 1 and self._offset()
        turn = "; every other row stands half a gap aside" if offset else ""
        return f"{row}. {within[0].upper()}{within[1:]}{turn}{self._clumps}."

    def _rows_along(self) -> str:
        """Return rows along the bed, ``"3 rows along the bed, at 10, 38 and 66 cm from …"``."""
        p, units = self.planting, self.units
        rows: dict[float, list[float]] = {}
        for x, y in self._points[: p.plants].tolist():
            rows.setdefault(round(y, 4), []).append(x)
        lines = [rows[y] for y in sorted(rows)]
        if len(lines) > 1 and len({tuple(line) for line in lines}) == 1 == len(lines[0]):
            return self._one_across(lines[0][0], sorted(rows))
        at = lengths_text(sorted(rows), units)
        where = "down the middle of the bed" if p.rows == 1 else "along the bed"
        text = f"{count_text(len(lines), 'row')} {where}, at {at} from the side. "
        most, least = (how(map(len, lines)) for how in (max, min))
        plants = str(most) if most == least else f"{least} or {most}"
        noun = "plant" if most == 1 else "plants"
        text += f"{plants} {noun}{' a row' if len(lines) > 1 else ''}"
        text += f", the first at {length_text(lines[0][0], units)} along it"
        if most > 1:
            longest = max(lines, key=len)
            text += f", then every {step_text(longest[1] - longest[0], most - 1, units)}"
        aside = {round(line[0], 4) for line in lines}
        turn = "; every other row begins half a gap on" if len(aside) > 1 else ""
        return f"{text}{turn}{self._clumps}."

    def _one_across(self, at: float, aside: list[float]) -> str:
        """Return rows along the bed of one plant each as what they look like: one row across."""
        step = step_text(aside[1] - aside[0], len(aside) - 1, self.units)
        where, first = (length_text(one, self.units) for one in (at, aside[0]))
        return (
            f"1 row across the bed, at {where} along it. {len(aside)} plants, the first {first} "
            f"from the side, then every {step}{self._clumps}."
        )

    @property
    def _clumps(self) -> str:
        each = self.crop.plants_per_cell
        return "" if each == 1 else f" (clumps of {each})"

    def _counts(self) -> list[int]:
        """Return the plants of each row; the last row takes what is left."""
        p, left, counts = self.planting, self.planting.plants, []
        for row in range(p.rows):
            counts.append(min(p.per_row[row % 2], left))
            left -= counts[-1]
        return counts

    def _per_row(self) -> str:
        """Return ``"4 plants a row"``, ``"4 and 3 plants in turn (1 in the last row)"``."""
        counts = self._counts()
        odd, even = self.planting.per_row
        if len(counts) == 1:
            return count_text(counts[0], "plant")
        full = (odd, even)[(len(counts) - 1) % 2]
        last = f" ({counts[-1]} in the last row)" if counts[-1] < full else ""
        if odd != even:
            return f"{odd} and {even} plants in turn{last}"
        return f"{count_text(odd, 'plant')} a row{last}"

    @cached_property
    def _points(self):
        from sowplan.bed.strips import positions

        p, place = self.planting, self.place
        width = place.width_m - 2 * place.edge_m
        return positions(p.strip, p.strip_start_m, width, self.crop.spacing_cm / 100, place.edge_m)

    def _in_row(self) -> tuple[float, float]:
        """Return the first plant's distance from the bed's side and the gap in the row [m]."""
        row = self._points[: self.planting.per_row[0], 1]
        return float(row[0]), float(row[1] - row[0]) if len(row) > 1 else 0.0

    def _offset(self) -> bool:
        points, odd = self._points, self.planting.per_row[0]
        return len(points) > odd and abs(float(points[odd, 1] - points[0, 1])) > 1e-6


@lru_cache(maxsize=4096)  # most plantings stand in the plan before it was revised as well
def _told_once(ground: Ground) -> str:
    return ground._rows_told()


def grounds(plan: Plan) -> tuple[Ground, ...]:
    """Return where each planting of a plan stands, in the plan's order."""
    crops = {crop.key: crop for crop in plan.crops}
    places = {place.name: place for place in plan.places}
    return tuple(Ground(p, crops[p.crop], places[p.place], plan.site.units) for p in plan.plantings)


def where_they_go(going: Iterable[tuple[Ground, date]]) -> str:
    """Return on which day the plants of one crop go where: ``"Wed 8 April: Long bed, 80-140 cm"``.

    The number is told only where they go to several places.
    """
    parts = sorted(going, key=lambda one: (one[1], one[0].short))
    by_day: dict[date, list[str]] = {}
    for ground, out in parts:
        number = f"{ground.planting.plants} to " if len(parts) > 1 else ""
        by_day.setdefault(out, []).append(f"{number}{ground.short}")
    return "; ".join(f"{day_text(out)}: {'; '.join(there)}" for out, there in by_day.items())


def overlap(one: Planting, other: Planting) -> bool:
    """Return whether two plantings of one place ever stand on the same ground."""
    if one.kind != "bed":
        return bool(set(one.slots) & set(other.slots))
    return (
        one.strip_start_m < other.strip_start_m + other.strip_length_m - 1e-9
        and other.strip_start_m < one.strip_start_m + one.strip_length_m - 1e-9
    )
