"""How colours are seen: contrast by WCAG, and what colour-blind eyes leave of a difference."""

from __future__ import annotations

# WCAG 2.2: relative luminance and contrast ratio (definitions); 1.4.3 and 1.4.11 (4.5 and 3).
TEXT, GRAPHIC = 4.5, 3.0

# Machado, Oliveira and Fernandes (2009), severity 1.0, on linear RGB; figures from memory.
BLINDNESS = {
    "protan": ((0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216),
               (-0.003882, -0.048116, 1.051998)),
    "deutan": ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413),
               (-0.011820, 0.042940, 0.968881)),
    "tritan": ((1.255528, -0.076749, -0.178779), (-0.078411, 0.930809, 0.147602),
               (0.004733, 0.691367, 0.303900)),
    "none": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
}  # fmt: skip


def linear(colour: str) -> list[float]:
    channels = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    return [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]


def luminance(colour: str) -> float:
    return sum(w * c for w, c in zip((0.2126, 0.7152, 0.0722), linear(colour), strict=True))


def contrast(one: str, other: str) -> float:
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def lab(colour: str, kind: str) -> tuple[float, float, float]:
    """Return CIE L*a*b* (D65) of a colour as seen with a kind of colour vision."""
    seen = [
        min(max(sum(m * c for m, c in zip(row, linear(colour), strict=True)), 0.0), 1.0)
        for row in BLINDNESS[kind]
    ]
    to_xyz = (
        (0.4124, 0.3576, 0.1805, 0.95047), (0.2126, 0.7152, 0.0722, 1.0),
        (0.0193, 0.1192, 0.9505, 1.08883),
    )  # fmt: skip
    x, y, z = (sum(w * c for w, c in zip(row[:3], seen, strict=True)) / row[3] for row in to_xyz)
    fx, fy, fz = (t ** (1 / 3) if t > 0.008856 else 7.787 * t + 16 / 116 for t in (x, y, z))
    return 116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)


def apart(one: str, other: str, kind: str) -> float:
    pairs = zip(lab(one, kind), lab(other, kind), strict=True)
    return sum((a - b) ** 2 for a, b in pairs) ** 0.5
