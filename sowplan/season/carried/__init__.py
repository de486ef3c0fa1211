"""What a season hands on to the next: what stands when that begins, and what stood where before."""

from sowplan.season.carried.handover import Carried, carried

__all__ = ["Carried", "carried"]
