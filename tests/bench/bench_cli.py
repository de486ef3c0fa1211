"""How soon the command line answers: cold starts, beside a Python that does nothing.

    python tests/bench/bench_cli.py [runs]

Prints medians in seconds, and how many bare starts of Python each takes: the ratio is what can be
compared between machines. The first run of each fills the bytecode cache and is not counted.
"""

import os
import statistics
import subprocess
import sys
import time
from pathlib import Path

GARDEN = Path(__file__).parents[2] / "examples" / "courtyard" / "garden.toml"
SOWPLAN = ("-m", "sowplan")
CASES = {
    "python -c pass": ("-c", "pass"),
    "sowplan --help": (*SOWPLAN, "--help"),
    "sowplan check": (*SOWPLAN, "check", str(GARDEN)),
    "sowplan fit": (*SOWPLAN, "fit", "butterhead", "--bed", "2.4 m x 1.2 m"),
    "sowplan fit, none": (*SOWPLAN, "fit", "courgette", "--bed", "2 m x 60 cm"),
    "sowplan fit, a tub": (*SOWPLAN, "fit", "basil", "--bed", "60 cm round"),
}


def seconds(words: tuple[str, ...]) -> float:
    """Return how long one call takes, its bytecode cached as on anyone's machine."""
    around = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    begun = time.perf_counter()
    subprocess.run([sys.executable, *words], env=around, capture_output=True, check=False)
    return time.perf_counter() - begun


def main() -> None:
    """Print the medians."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 9
    taken: dict[str, list[float]] = {name: [] for name in CASES}
    for words in CASES.values():
        seconds(words)
    for _ in range(runs):  # in turn, so that a busy moment falls on all of them
        for name, words in CASES.items():
            taken[name].append(seconds(words))
    bare = statistics.median(taken["python -c pass"])
    for name, found in taken.items():
        median = statistics.median(found)
        print(f"{name:<20} {median:6.3f} s  {median / bare:5.1f} ×")


if __name__ == "__main__":
    main()
