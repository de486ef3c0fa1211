"""What every example garden puts out: small pages, every letter of the sheets in the font."""

from __future__ import annotations

import json
import re

import pytest
from fontTools.ttLib import TTFont

from sowplan.export.pictures.lettering import FILES, STAND_IN
from sowplan.export.print.content import content
from sowplan.export.print.pdf import SHEETS
from sowplan.season.archive import read_plan
from sowplan.supply.tasks import tasks


@pytest.fixture(scope="module")
def plan(example_folder):
    found, problems = read_plan(example_folder / "plan.json")
    assert problems == []
    return found


def test_the_page_is_under_400_kilobytes(example_folder):
    assert 30_000 < (example_folder / "page.html").stat().st_size < 400_000


def test_every_letter_of_sheets_and_pictures_has_a_glyph(example_folder, plan):
    """The font's own table of characters is read, not the module that asks it."""
    said = json.dumps(content(plan, SHEETS), ensure_ascii=False)
    assert STAND_IN not in said
    pictures = [file.read_text(encoding="utf-8") for file in example_folder.glob("*.svg")]
    assert len(pictures) >= 5
    letters = {ord(c) for text in (said, *pictures) for c in text} - {10}
    for file in FILES.values():
        missing = letters - TTFont(file).getBestCmap().keys()
        assert not missing, [chr(c) for c in missing]


def test_all_jobs_stand_in_the_page(example_folder, plan):
    html = (example_folder / "page.html").read_text(encoding="utf-8")
    assert len(re.findall(r"<dd>", html)) == len(tasks(plan))
