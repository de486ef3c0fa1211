"""How much later than planned harvests come in a late year: what a sowing needs in hand."""

from __future__ import annotations

import numpy as np

from sowplan.season.choices.book import ROWS, Book
from sowplan.season.choices.instance import Ints

LOST = 1 << 20  # a late year's harvest that never comes: more days than any season has


def late_days(book: Book) -> list[Ints]:
    """Return, by crop, how many days later than planned the first harvest of each option may be.

    In one year of ten it is later still (`sowplan.growth.courses.CourseTable`). What the plan's
    safety counts with already is none of it; `LOST` where frost or bolting ends a late year's
    sowing before it is fit.

    Returns
    -------
    list of ndarray of int, each of shape (options,)
    """
    found = []
    for case in book.instance.crops:
        options = case.options
        late = np.zeros(len(options), np.int64)
        numbers, rows = np.divmod(options.course, ROWS)
        for number in np.unique(numbers).tolist():
            mine = numbers == number
            table, row = book.ways[number].courses, rows[mine]
            planned = options.lot_ready[options.lot_start[:-1][mine]]
            comes = np.any(table.late_ready[row] >= 0, axis=1)
            days = np.maximum(table.harvest_start_late[row] - planned, 0)
            late[mine] = np.where(comes, days, LOST)
        found.append(late)
    return found
