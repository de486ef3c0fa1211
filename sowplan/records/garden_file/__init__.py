"""A garden file into a garden, or into everything that is wrong with it."""

from sowplan.records.garden_file.read import Reading, read_garden, read_garden_text

__all__ = ["Reading", "read_garden", "read_garden_text"]
