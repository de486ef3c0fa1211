"""What the season's crops drink: litres by week and place, what rain brings, when to fill up.

``coefficients`` says how thirsty a planting is through its life, ``ground`` on how much ground,
``rain`` what of the rain counts, ``weeks`` puts it together, ``words`` says it. All of it follows
from the plan: the sky's evapotranspiration, rain and light stand in it day by day.
"""

from sowplan.supply.water.weeks import PlaceWater, WaterWeek, total, water

__all__ = ["PlaceWater", "WaterWeek", "total", "water"]
