"""Leaf that is cut young, because it would run to seed just before it is full-grown.

A gardener who sees the stalk coming cuts what is there. So what long days make bolt a little too
soon is not lost, but smaller: spinach is sown in Britain from mid-March to the end of May (Royal
Horticultural Society), in days that make it bolt as soon as it is grown.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from sowplan.growth.bolting import Bolting
from sowplan.growth.clock import Index, moment, whole_days
from sowplan.growth.events import Events
from sowplan.growth.needs import Needs
from sowplan.records.crop import Crop

# The figures below are from memory. The last of a plant's growth before it bolts in which it stands
# fit to be cut; the least it must have grown, against a full-grown one, to be worth it; and how its
# weight goes by its age: a plant adds some 8 % a day when it has nine tenths of its days behind it.
_CUT_FROM, _LEAST, _WEIGHT_POWER = 0.92, 0.8, 3.0


def cut_young(crop: Crop, needs: Needs, events: Events, bolting: Bolting) -> Events:
    """Return the events, leaf that would bolt before it has stood a little brought forward.

    Parameters
    ----------
    crop : Crop
        Nothing changes but for what is cut again and bolts in long days.
    needs : Needs
    events : Events
        Of all days as sowing days.
    bolting : Bolting
        When each runs to seed. What is cut weighs by the time of it, not by whole days, so that
        neighbouring sowings weigh much the same.

    Returns
    -------
    Events
        With earlier harvests and smaller ``size`` where that is so.
    """
    if crop.harvest != "cut" or crop.bolt_effect != "bolts":
        return events
    days = len(bolting.day)
    until = np.interp(bolting.time, np.arange(days + 1), events.field)
    grown = until - events.field[events.planting_out]
    share = np.clip(_CUT_FROM * grown / needs.field, _LEAST, 1.0)
    fit = whole_days(moment(events.field, events.planting_out, share * needs.field))
    sooner = (fit < events.harvest) & (fit < bolting.day) & (bolting.day < days)
    ahead = np.where(sooner, events.harvest - fit, 0)

    def brought_forward(day: Index) -> Index:
        return np.where(day < days, np.maximum(day - ahead, events.planting_out), day)

    return replace(
        events,
        harvest_early=brought_forward(events.harvest_early),
        harvest=events.harvest - ahead,
        harvest_late=brought_forward(events.harvest_late),
        size=np.where(sooner, events.size * share**_WEIGHT_POWER, events.size),
    )
