"""Pictures of a plan as SVG: each module draws one picture, all in the style of ``style.py``."""
