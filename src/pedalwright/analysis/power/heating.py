"""What every part turns into heat, against what it stands in a room and in a closed box."""

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.power.ranges import healthy, spread
from pedalwright.analysis.power.ratings import BOX_C, ROOM_C, heat_rating
from pedalwright.analysis.power.records import Heat
from pedalwright.analysis.power.trials import Tried
from pedalwright.analysis.power.wording import part_says
from pedalwright.circuit.part import Part
from pedalwright.devices.catalogue import device
from pedalwright.formulas.heat import rise_k

COLD = frozenset({"capacitor", "switch", "jack", "inductor", "source"})
"""families that make no heat worth telling at rest"""
FAINT_W = 1e-6
"""less is no heat (house rule)"""


def heat(analysis: Analysis) -> tuple[Heat, ...]:
    """Every part that makes heat, the one nearest its limit first; empty where nothing is fed or certified.

    At rest: what a loud signal adds to the parts of an output stage is left out.
    """
    tried = healthy(analysis)
    if tried is None or not tried.ok.all():
        return ()
    found = [_heat(analysis, tried, part) for part in analysis.circuit.parts if _makes_heat(part)]
    warm = [one for one in found if one.watts.most > FAINT_W]
    return tuple(sorted(warm, key=lambda one: -(one.share or 0.0)))


def _makes_heat(part: Part) -> bool:
    return device(part.kind).family not in COLD


def _heat(analysis: Analysis, tried: Tried, part: Part) -> Heat:
    watts = spread(tried.watts(part.ref))
    rating = heat_rating(part)
    rise = rise_k(watts.most, rating.k_per_w) if rating.k_per_w is not None else None
    return Heat(
        ref=part.ref,
        says=part_says(analysis, part.ref),
        watts=watts,
        most_w=rating.most_w,
        allowed_w=rating.allowed_w,
        share=watts.most / rating.allowed_w if rating.allowed_w else None,
        k_per_w=rating.k_per_w,
        room_c=None if rise is None else ROOM_C + rise,
        box_c=None if rise is None else BOX_C + rise,
        most_junction_c=rating.most_junction_c,
        source=rating.source,
    )
