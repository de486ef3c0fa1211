"""Draw the pictures of the README from the courtyard's plan.

    python examples/pictures.py

writes ``examples/courtyard/season.png``, ``harvest.png`` and ``door.png`` and, where a Chromium
and playwright are installed, ``phone.png``.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path

from sowplan.export.page.page import page_html
from sowplan.export.pictures.harvest import harvest_svg
from sowplan.export.pictures.png import to_png
from sowplan.export.pictures.season import season_svg
from sowplan.export.print.pdf import print_png
from sowplan.records.garden_file import read_garden
from sowplan.season.plan import Plan
from sowplan.season.planner import make_plan

HERE = Path(__file__).parent / "courtyard"
DAY = "2026-11-14"  # a Saturday with something to sow, plant out and harvest


def main() -> None:
    """Plan the courtyard and draw it."""
    reading = read_garden(HERE / "garden.toml")
    plan, problems = make_plan(reading.garden, reading.crops) if reading.garden else (None, [])
    if plan is None:
        sys.exit("\n".join(str(problem) for problem in [*reading.problems, *problems]))
    write("season.png", to_png(season_svg(plan), 1.5))
    write("harvest.png", to_png(harvest_svg(plan), 1.5))
    write("door.png", print_png(plan, "a4", ("season",), 96.0)[0])
    browser = shutil.which("chromium") or shutil.which("chromium-browser")
    if browser:
        write("phone.png", phone(plan, browser))


def write(name: str, data: bytes) -> None:
    """Write a picture and say so."""
    (HERE / name).write_bytes(data)
    print(f"{HERE / name}: {len(data) // 1024} kB")


def phone(plan: Plan, browser: str) -> bytes:
    """Return the top of the page as a phone shows it on a day of the season."""
    from playwright.sync_api import sync_playwright

    flags = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        file = Path(folder) / "page.html"
        file.write_text(page_html(plan), encoding="utf-8")
        chromium = playwright.chromium.launch(executable_path=browser, args=flags)
        size = {"width": 390, "height": 844}
        page = chromium.new_page(
            viewport=size, device_scale_factor=2, timezone_id=plan.site.timezone
        )
        page.clock.set_fixed_time(f"{DAY}T09:00:00")
        page.goto(file.as_uri())
        data = page.screenshot()
        chromium.close()
    return data


if __name__ == "__main__":
    main()
