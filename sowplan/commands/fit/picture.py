"""The pictures of ``sowplan fit``: what goes into the plan view, and the paper rulers."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from sowplan.bed.blocks import Arrangement
    from sowplan.bed.layout import Layout
    from sowplan.bed.things import KeepOut
    from sowplan.commands.fit.between import Found
    from sowplan.records.crop import Crop


def layout_picture(
    layout: Layout,
    crop: Crop,
    title: str,
    bed: str,
    outline: Any,
    things: Sequence[KeepOut],
    found: Found | None = None,
    **how,
) -> str:
    """Return the plan view of one crop, with a catch crop between; ``how`` holds the rest."""
    from sowplan.commands.fit.words import PATTERN_WORDS, in_sentence, spacing_words
    from sowplan.export.pictures.bed_crops import Patch
    from sowplan.export.pictures.bed_plan import BedView, bed_plan_svg

    apart = spacing_words(layout, how["units"])
    spread = min(crop.spread_cm / 100, 1.25 * min(layout.spacing_m, layout.row_spacing_m))
    what = "plants" if crop.plants_per_cell == 1 else f"clumps of {crop.plants_per_cell}"
    lines = {"along": layout.along}
    patches = [Patch(what, layout.positions, spread, apart, **lines)]
    if found is not None:
        quick = in_sentence(found.catch.name)
        patches = [
            Patch(
                in_sentence(crop.name),
                layout.positions,
                spread,
                apart,
                found.between.reach_m,
                **lines,
            ),
            _between(found, layout, how["units"]),
        ]
        how["dashed"] = f"when the {quick} is out"
    in_words = "along the trellis" if "trellis" in how else None
    view = BedView(
        title=title,
        subtitle=f"{bed}, {in_words or PATTERN_WORDS[layout.pattern].split(':')[0]}",
        length_m=layout.length_m,
        width_m=layout.width_m,
        patches=tuple(patches),
        outline=None if outline is None else outline.corners(),
        keep_outs=tuple(thing.corners() for thing in things),
        **how,
    )
    return bed_plan_svg(view)


def _between(found: Found, layout: Layout, units: Any) -> Any:
    """Return a catch crop as the picture shows it."""
    from sowplan.commands.fit.between import catch_layout
    from sowplan.commands.fit.words import in_sentence, spacing_words
    from sowplan.export.pictures.bed_crops import Patch

    own, crop = catch_layout(found, layout), found.catch
    spread = min(crop.spread_cm / 100, 1.25 * own.spacing_m)
    return Patch(
        in_sentence(crop.name), own.positions, spread, spacing_words(own, units), along=own.along
    )


def blocks_picture(
    found: Arrangement, crops: dict[str, Crop], title: str, bed: tuple[float, float, str], **how
) -> str:
    """Return the plan view of several crops in one bed; ``bed`` is length, width and words."""
    from sowplan.commands.fit.words import in_sentence
    from sowplan.export.pictures.bed_crops import Patch
    from sowplan.export.pictures.bed_plan import BedView, bed_plan_svg

    patches = []
    for block in found.blocks:
        crop = crops[block.need.label]
        spread = min(crop.spread_cm / 100, 1.25 * block.need.spacing_m)
        patches.append(Patch(in_sentence(crop.name), block.positions, spread))
    starts = tuple(b.start_m for b in found.blocks[1:]) if found.along_length else ()
    view = BedView(
        title=title,
        subtitle=bed[2],
        length_m=bed[0],
        width_m=bed[1],
        patches=tuple(patches),
        strips=starts,
        **how,
    )
    return bed_plan_svg(view)


def write_ruler(file: Path, layout: Layout, title: str, units: Any, paper: Any) -> None:
    """Write paper rulers by what their file's name ends in."""
    from sowplan.commands.picture_files import write_picture

    if file.suffix.casefold() == ".pdf":
        from sowplan.export.print.rulers import ruler_pdf

        drawn = ruler_pdf(layout, title, units, paper)
    else:
        from sowplan.export.pictures.ruler import ruler_svg

        drawn = ruler_svg(layout, title, units, paper=paper)
    write_picture(file, drawn)
