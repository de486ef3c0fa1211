"""One style for every picture: paper, ink, two fills, three marks; hatches; the lettering.

Colour only ever repeats what a label, a mark or a hatch says already. The two fills (growing,
in harvest) differ in lightness as well as hue and the second is hatched, so that they stay
apart in grey and under the common kinds of colour blindness; a test computes both.
"""

from __future__ import annotations

from dataclasses import dataclass

FAMILY = "Source Sans 3"
LETTERS = "letters within"
"""The name under which a picture that stands alone carries its letters inside."""
FONT = f"'{FAMILY}', '{LETTERS}', 'Segoe UI', Roboto, 'Helvetica Neue', Arial, sans-serif"
SMALL, TEXT, HEAD, TITLE = 11.0, 12.5, 15.0, 22.0  # sizes in px


@dataclass(frozen=True)
class Palette:
    """Colours by what they are for; all are CSS colours.

    ``ink`` and ``quiet`` are text on ``paper`` (and ``ink`` on both fills); ``line`` and
    ``edge`` are rules; a fill's ``…_edge`` outlines and hatches it.
    """

    paper: str
    panel: str
    ink: str
    quiet: str
    line: str
    edge: str
    grow: str
    grow_edge: str
    harvest: str
    harvest_edge: str
    missing: str
    over: str
    frost: str
    sun: str
    warm: str
    water: str
    water_edge: str


LIGHT = Palette(
    paper="#fcfbf7",
    panel="#f2f1ea",
    ink="#1d272b",
    quiet="#56646a",
    line="#dcdcd3",
    edge="#8d979a",
    grow="#d3e4df",
    grow_edge="#2f6d66",
    harvest="#e5b156",
    harvest_edge="#8a5a06",
    missing="#a9321c",
    over="#5f5a86",
    frost="#4a62a8",
    sun="#b98212",
    warm="#a9321c",
    water="#b9d3ea",
    water_edge="#2a5d91",
)

DARK = Palette(
    paper="#13191b",
    panel="#1c2427",
    ink="#eceee8",
    quiet="#a7b3b6",
    line="#2f393c",
    edge="#6d797c",
    grow="#20423d",
    grow_edge="#79bdb1",
    harvest="#6f4f14",
    harvest_edge="#e6b967",
    missing="#ff8f78",
    over="#b9b3e6",
    frost="#9db2f0",
    sun="#e6b967",
    warm="#ff8f78",
    water="#234a6b",
    water_edge="#8dbce8",
)

# For pictures inside the page, whose style sheet sets the variables for light and dark.
PAGE = Palette(**{name: f"var(--{name.replace('_', '-')})" for name in LIGHT.__dataclass_fields__})


def palette(dark: bool = False) -> Palette:
    """Return the palette of a picture that stands alone."""
    return DARK if dark else LIGHT


HATCHES = ("harvest", "missing", "over", "frost")
_RISING = "M-1 1L1-1M-1 7L7-1M5 7L7 5"
_FALLING = "M-1-1L7 7M-1 5L1 7M5-1L7 1"


def hatches(colours: Palette, prefix: str = "", kinds: tuple[str, ...] = HATCHES) -> str:
    """Return the ``<pattern>`` elements pictures may fill with.

    Parameters
    ----------
    colours : Palette
        Colours of the picture.
    prefix : str
        Put before each id, so that several pictures can share one page.
    kinds : tuple of str
        Of `HATCHES`.

    Returns
    -------
    str
        Patterns ``harvest`` (rising lines on the harvest fill), ``missing`` (falling lines),
        ``over`` (dots) and ``frost`` (upright lines), the last three on nothing.
    """
    found = {
        "harvest": f'<pattern id="{prefix}harvest" width="6" height="6" '
        f'patternUnits="userSpaceOnUse"><rect width="6" height="6" fill="{colours.harvest}"/>'
        f'<path d="{_RISING}" stroke="{colours.harvest_edge}" stroke-opacity="0.38"/></pattern>',
        "missing": f'<pattern id="{prefix}missing" width="6" height="6" '
        f'patternUnits="userSpaceOnUse"><path d="{_FALLING}" stroke="{colours.missing}" '
        'stroke-width="1.3"/></pattern>',
        "over": f'<pattern id="{prefix}over" width="5" height="5" patternUnits="userSpaceOnUse">'
        f'<circle cx="2.5" cy="2.5" r="1.1" fill="{colours.over}"/></pattern>',
        "frost": f'<pattern id="{prefix}frost" width="4" height="4" patternUnits="userSpaceOnUse">'
        f'<rect width="1.2" height="4" fill="{colours.frost}"/></pattern>',
    }
    return "".join(found[kind] for kind in kinds)
