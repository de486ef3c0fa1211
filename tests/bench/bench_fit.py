"""How long a fit takes: prints figures, asserts none. Run: python tests/bench/bench_fit.py."""

from __future__ import annotations

import subprocess
import sys
import time

CASES = {
    "bed 2.4 m x 1.2 m, 25 cm": (2.4, 1.2, 0.25),
    "bed 30 m x 1.2 m, 6 cm": (30.0, 1.2, 0.06),
    "bed 30 m x 1.2 m, 5 cm in rows 15 cm apart": (30.0, 1.2, 0.05, 0.15),
    "field 100 m x 30 m, 25 cm": (100.0, 30.0, 0.25),
}


def best_of(call, times: int = 3) -> float:
    """Return the shortest time [s] of a few calls."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        call()
        taken.append(time.perf_counter() - start)
    return min(taken)


def main() -> None:
    """Print plants and seconds of each case, and a cold start of the command."""
    from sowplan.bed.fit import fit
    from sowplan.bed.outlines import Rounded, l_shape, tub
    from sowplan.bed.things import Circle

    for name, case in CASES.items():
        print(f"{name}: {fit(*case).plants} plants, {best_of(lambda c=case: fit(*c)):.3f} s")
    shapes = {
        "2.4 m x 1.2 m with a post": {"keep_outs": [Circle(0.3, 0.3, 0.05)]},
        "2.4 m x 1.2 m, round ends": {"outline": Rounded(2.4, 1.2, 0.6)},
        "2.4 m x 1.2 m, L": {"outline": l_shape(2.4, 1.2, 1.2, 0.6)},
    }
    for name, how in shapes.items():
        plants = fit(2.4, 1.2, 0.25, **how).plants
        print(f"{name}: {plants} plants, {best_of(lambda h=how: fit(2.4, 1.2, 0.25, **h)):.3f} s")
    print(f"tub 60 cm, 15 cm: {best_of(lambda: fit(0.6, 0.6, 0.15, outline=tub(0.6))):.3f} s")
    command = [sys.executable, "-m", "sowplan", "fit", "butterhead", "--bed", "2.4 m x 1.2 m"]
    cold = best_of(lambda: subprocess.run(command, check=True, capture_output=True))
    print(f"sowplan fit from a cold start: {cold:.3f} s")


if __name__ == "__main__":
    main()
