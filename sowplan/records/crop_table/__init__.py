"""The crop table: the shipped one, and a gardener's own laid over it."""

from sowplan.records.crop_table.read import (
    OWN_SOURCE,
    Source,
    emergence_tables,
    read_crops,
    sources,
)

__all__ = ["OWN_SOURCE", "Source", "emergence_tables", "read_crops", "sources"]
