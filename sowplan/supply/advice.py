"""What is told beside dates and numbers: how to cut, what to leave in the ground, what to mind.

Everything here is common practice, no source, unless it says otherwise.
"""

from __future__ import annotations

from collections.abc import Iterable

from sowplan.season.plan import Plan, PlanCrop, Planting

CAUTIONS: tuple[tuple[str, str], ...] = (
    # By the beginning of the botanical name. Well-known food-safety facts, from memory.
    (
        "Solanum tuberosum",
        "Potatoes that are green or sprouting, and all leaves, berries and stems, are poisonous.",
    ),
    ("Solanum lycopersicum", "Tomato leaves and stems are not for eating."),
    ("Solanum melongena", "Aubergine leaves and flowers are not for eating."),
    (
        "Phaseolus",
        "Bush, climbing and runner beans are poisonous raw: cook pods and seeds through.",
    ),
    ("Rheum", "Rhubarb leaves are poisonous: eat the stalks only."),
    (
        "Vicia faba",
        "Broad beans can make people with an inherited enzyme lack (G6PD) dangerously ill.",
    ),
    ("Cucurbita", "If a courgette, squash or pumpkin tastes bitter, do not eat it."),
    ("Cucumis", "If a cucumber or melon tastes bitter all through, do not eat it."),
    ("Glycine max", "Soybeans are not for eating raw: cook them through."),
    ("Capsicum", "Hot sorts of pepper burn eyes and skin: wash your hands after handling them."),
    ("Rumex", "Sorrel is rich in oxalic acid: a little at a time."),
    (
        "Nasturtium officinale",
        "Grow watercress in drinking water only: wild or grazed water can carry parasites.",
    ),
    (
        "Ipomoea aquatica",
        "Grow kang kong in drinking water only, and ask first whether it counts as a weed there.",
    ),
    (
        "Pastinaca",
        "Parsnip sap on skin burns in sunlight: wear gloves and sleeves among the leaves.",
    ),
)

BULB_DAYS = 30  # onions that keep longer are dried bulbs; the others are eaten fresh

GENERAL_CAUTIONS = (
    "Potting mix and compost can carry germs that harm the lungs: open bags away from the face, "
    "damp the mix, do not breathe the dust, and wash hands after.",
    "Wash what is eaten raw. Water reservoirs and leafy crops with water that is fit to drink.",
    "Lamps, pumps and mains leads near trays and channels belong on a protected outlet and are "
    "work for a licensed electrician where local rules say so.",
    "Dates and amounts are forecasts from usual weather: watch the plants and the local "
    "forecast, above all for frost and heat.",
)


def cautions_of(crop: PlanCrop) -> tuple[str, ...]:
    """Return what has to be minded with a crop, by its botanical name; often nothing."""
    return tuple(text for name, text in CAUTIONS if crop.botanical_name.startswith(name))


def cautions(plan: Plan) -> tuple[str, ...]:
    """Return every caution of a plan once: first those of its crops, then the general ones."""
    of_crops = (text for crop in plan.crops for text in cautions_of(crop))
    return _once((*of_crops, *GENERAL_CAUTIONS))


def is_bulb(crop: PlanCrop) -> bool:
    """Return whether a crop is lifted all at once and dried: garlic, shallots, keeping onions."""
    dries = crop.botanical_name.startswith(("Allium cepa", "Allium sativum"))
    return dries and crop.keeps_days > BULB_DAYS


def after_sowing(crop: PlanCrop) -> str:
    """Return what a crop wants after sowing beyond water, or nothing."""
    if crop.botanical_name.startswith("Solanum tuberosum"):
        return "Earth up as the shoots grow: tubers in the light turn green and poisonous."
    return ""


def how_to_harvest(crop: PlanCrop, number: int, of: int) -> str:
    """Return how to bring in harvest ``number`` (from 1) out of ``of``."""
    if crop.harvest == "cut":
        return _how_to_cut(crop, number, of)
    if crop.harvest == "pick":
        round_text = f"Picking {number} of {of}: " if of > 1 else ""
        how = {
            "leaf": "take outer leaves and leave the heart to grow.",
            "brassica": "take what is ready from below and leave the top to grow.",
            "herb": "nip out shoots above a pair of leaves.",
            "legume": "pick while young; picking often keeps it cropping.",
            "fruiting": "pick as it ripens; picking often keeps it cropping.",
        }.get(crop.group, "take what is ready and leave the rest to grow.")
        return round_text + how if round_text else how[0].upper() + how[1:]
    if is_bulb(crop):
        return (
            "Lift all on a dry day when the leaves yellow or fall over. Dry with the leaves on, "
            "in an airy place out of sun and rain, for two to four weeks, until the necks are "
            "papery; then trim, and use first what is damaged or soft-necked."
        )
    if crop.group in ("root", "allium"):
        return "Lift the largest first."
    if crop.group in ("fruiting", "legume"):
        return "Gather what is ripe; look every few days."
    return "Cut whole at the base, the largest first."


def _how_to_cut(crop: PlanCrop, number: int, of: int) -> str:
    if of == 1:
        return "Cut it whole."
    if number == of:
        return "Last cut: take it whole."
    where = (
        "cut the stems above the lowest leaves"
        if crop.group == "herb"
        else "cut above the heart, a finger's width from the ground"
    )
    return f"Cut {number} of {of}: {where}, and it grows again."


def how_to_keep(crop: PlanCrop) -> str:
    """Return how to keep what is brought in for the weeks to come."""
    name = crop.botanical_name
    if name.startswith("Solanum tuberosum"):
        return "dark, cool and free of frost"  # light turns tubers green and poisonous
    if name.startswith(("Ipomoea batatas", "Cucurbita")):
        return "dry, airy and not cold"  # they spoil below some 10 °C
    if is_bulb(crop):
        return "dried off, then dry and airy"
    if crop.group == "root":
        return "cool and moist, tops twisted off"
    return "in the cool"


def how_to_clear(crop: PlanCrop) -> str:
    """Return how to clear a crop away."""
    if crop.group == "legume":
        return "Cut off at the ground and leave the roots in; compost the tops."
    if crop.family == "Brassicaceae" and crop.group == "brassica":
        return "Pull out root and stump; compost what is healthy."
    if is_bulb(crop):
        return "Lift any left behind, rake off dry leaves and level the ground."
    if crop.support != "none":
        return "Take down and clean the supports; compost what is healthy."
    return "Pull out what is left; compost what is healthy."


def support_words(crop: PlanCrop) -> str:
    """Return what to put up for a climbing crop, or nothing."""
    return {
        "canes": "Set a cane or string to each plant first, and tie in as it grows.",
        "trellis": "Put the netting or trellis up first.",
    }.get(crop.support, "")


def bound_to_fail(p: Planting) -> str:
    """Return what each job of a sowing says that stands even so; nothing of any other."""
    return f"No harvest of it is counted on: {p.in_vain}." if p.in_vain else ""


def laid_over(p: Planting) -> str:
    """Return what to lay over a sowing the day it takes its place; nothing over most."""
    if p.cover == "none":
        return ""
    what = "a tunnel" if p.cover == "tunnel" else p.cover
    return f"Put {what} over it the same day, for as long as it stands; open it while it flowers."


def _once(texts: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(texts))
