"""How long a site's daily series take: prints figures, asserts nothing.

Run: python tests/bench/bench_site.py
"""

from __future__ import annotations

import subprocess
import sys
import time
from datetime import date, timedelta

COLD = """
import time
from datetime import date
from sowplan.records.garden import Climate, Site
from sowplan.site.sky import sky
import astral.sun
site = Site("s", 53.9, -1.1, "Europe/London", 20.0)
climate = Climate({tmin}, {tmax}, {rain})
begin = time.perf_counter()
found = sky(site, climate, date(2027, 2, 6), {days})
print((time.perf_counter() - begin) * 1000)
"""


def main() -> None:
    """Print the figures."""
    from sowplan.records.garden import Climate, DayRecord, Site
    from sowplan.site.nearest import nearest
    from sowplan.site.sky import sky

    home = nearest(53.9, -1.1).climate
    site = Site("s", 53.9, -1.1, "Europe/London", 20.0)
    for days in (366, 731):
        code = COLD.format(tmin=home.tmin, tmax=home.tmax, rain=home.rain, days=days)
        runs = [float(subprocess.check_output([sys.executable, "-c", code])) for _ in range(5)]
        print(f"all series, {days} days, first call after import: {min(runs):6.1f} ms (best of 5)")
        print(
            f"all series, {days} days, again:                   {_best(site, home, days):6.1f} ms"
        )
    outlook = sky(site, home, date(2027, 2, 6), 366).frost
    begin = time.perf_counter()
    for tenth in range(100):
        outlook.safe(-tenth / 10, 0.1)
    print(f"safe days, one threshold:                          {(_since(begin)) / 100:6.2f} ms")
    base = sky(site, home, date(1991, 1, 1), 10957).series
    days = tuple(
        DayRecord(date(1991, 1, 1) + timedelta(days=i), float(low), float(high))
        for i, (low, high) in enumerate(zip(base.tmin, base.tmax, strict=True))
    )
    print(f"all series from 30 recorded years:                 "
          f"{_best(site, Climate(records=days), 366):6.1f} ms")  # fmt: skip


def _best(site, climate, days) -> float:
    from sowplan.site.sky import sky

    times = []
    for _ in range(5):
        begin = time.perf_counter()
        sky(site, climate, date(2027, 2, 6), days)
        times.append(_since(begin))
    return min(times)


def _since(begin: float) -> float:
    return (time.perf_counter() - begin) * 1000


if __name__ == "__main__":
    main()
