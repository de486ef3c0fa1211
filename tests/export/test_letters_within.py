"""The letters a picture brings along: the shipped font's own, nameless, and asked for by name."""

from __future__ import annotations

import re

import pytest
from fontTools.ttLib import TTFont

from sowplan.export.page.page import page_html
from sowplan.export.pictures.lettering import FILES, WITHIN
from sowplan.export.pictures.season import season_svg


@pytest.mark.parametrize(("weight", "bold"), [(400, False), (600, True)])
def test_they_are_the_shipped_fonts_and_as_wide(weight, bold):
    """Nameless: the Open Font License 1.1, 3, has it so for a changed font of a reserved name."""
    font, whole = TTFont(WITHIN[weight]), TTFont(FILES[bold])
    letters, all_letters = font.getBestCmap(), whole.getBestCmap()
    assert set(range(0x20, 0x7F)) | {ord(c) for c in "äéñøžŁ°–…×½−“”’"} <= letters.keys()
    for code, name in letters.items():
        assert font["hmtx"][name][0] == whole["hmtx"][all_letters[code]][0]
    assert not font["name"].names


def test_a_picture_that_stands_alone_brings_them_and_the_page_does_not(sample_plan):
    alone = season_svg(sample_plan)
    brought = re.findall(r"@font-face{font-family:'([^']+)';font-weight:(\d+)", alone)
    assert brought == [("letters within", "400"), ("letters within", "600")]
    assert "'letters within'" in re.search(r'font-family="([^"]+)"', alone)[1]
    assert "@font-face" not in page_html(sample_plan)
