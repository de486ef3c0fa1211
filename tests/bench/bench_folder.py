"""How long each output of a plan folder takes, and how large it is.

Prints figures; asserts nothing. Run it by hand on any plan folder::

    python tests/bench/bench_folder.py plan
"""

from __future__ import annotations

import sys
import time
from importlib import import_module
from pathlib import Path

from sowplan.export.outputs import MARK, OUTPUTS, render
from sowplan.season.archive import read_plan


def main(folder: str) -> None:
    """Make each output of the plan in a folder and print its time and size; write nothing."""
    plan, problems = read_plan(Path(folder) / MARK)
    if plan is None:
        sys.exit("\n".join(map(str, problems)))
    import_module("sowplan.season.planner")  # a real run has planned before
    print(f"{len(plan.places)} places, {len(plan.plantings)} plantings")
    print(f"{'output':<16}{'seconds':>9}{'of CPU':>9}{'kB':>9}")
    total = [0.0, 0.0]
    for output in OUTPUTS:
        clock, cpu = time.perf_counter(), time.process_time()
        made = render(plan, [output])
        taken = (time.perf_counter() - clock, time.process_time() - cpu)
        size = sum(map(len, made.values())) / 1000
        print(f"{output.name:<16}{taken[0]:>9.2f}{taken[1]:>9.2f}{size:>9.0f}")
        total = [a + b for a, b in zip(total, taken, strict=True)]
    print(f"{'all':<16}{total[0]:>9.2f}{total[1]:>9.2f}")


if __name__ == "__main__":
    main(*sys.argv[1:])
