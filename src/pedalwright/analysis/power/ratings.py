"""What each part stands, from its device's figures and from what the text writes on it."""

from dataclasses import dataclass

from pedalwright.circuit.part import Part
from pedalwright.devices.catalogue import device
from pedalwright.devices.device import Figure
from pedalwright.devices.kinds.capacitor import is_polarised, rated_v
from pedalwright.devices.part_facts import option_number
from pedalwright.units.values import Quantity

WRITTEN = "written in the text"
ROOM_C, BOX_C = 25.0, 40.0
"""temperature of the air in a room, and inside a closed box that holds a warm pedal (common practice, no
source)"""
FILM_FULL_C, FILM_NOTHING_C = 70.0, 155.0
"""a resistor stands its rating up to the first, nothing at the second (from memory: film types)"""
TRACK_FULL_C, TRACK_NOTHING_C = 40.0, 85.0
"""the same of a carbon track (from memory)"""
SHEET_C = 25.0
"""the temperature a semiconductor's rating is printed for"""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatRating:
    """What a part may turn into heat: `most_w` on paper, `allowed_w` inside a warm box; None: not known.

    `k_per_w` and `most_junction_c` are None for parts without a junction, or without a figure.
    """

    most_w: float | None
    allowed_w: float | None
    k_per_w: float | None
    most_junction_c: float | None
    source: str


def figure_of(part: Part, name: str) -> Figure | None:
    """One figure of a part, or None."""
    return device(part.kind).figures_for(part).get(name)


def value_of(part: Part, name: str) -> float | None:
    """Its value alone."""
    found = figure_of(part, name)
    return None if found is None else found.value


def heat_rating(part: Part) -> HeatRating:
    """How much heat a part stands, at 25 degrees C and in a box of 40."""
    family = device(part.kind).family
    most, k_per_w, hottest = (figure_of(part, name) for name in ("most_w", "k_per_w", "most_junction_c"))
    written = option_number(part, "watts", Quantity.POWER) if family == "resistor" else None
    watts = written if written is not None else (most.value if most else None)
    sources = [WRITTEN] if written is not None else [one.source for one in (most, k_per_w, hottest) if one]
    return HeatRating(
        most_w=watts,
        allowed_w=_allowed_w(family, watts, k_per_w, hottest),
        k_per_w=k_per_w.value if k_per_w else None,
        most_junction_c=hottest.value if hottest else None,
        source="; ".join(dict.fromkeys(sources)),
    )


def _allowed_w(
    family: str, watts: float | None, k_per_w: Figure | None, hottest: Figure | None
) -> float | None:
    """What is left in the box: by the junction where its thermal resistance is known, else on a straight
    line.
    """
    if k_per_w is not None and hottest is not None:
        by_junction = max(0.0, (hottest.value - BOX_C) / k_per_w.value)
        return by_junction if watts is None else min(watts, by_junction)
    if watts is None:
        return None
    full, nothing = SHEET_C, hottest.value if hottest else 150.0
    if family == "resistor":
        full, nothing = FILM_FULL_C, FILM_NOTHING_C
    elif family == "knob":
        full, nothing = TRACK_FULL_C, TRACK_NOTHING_C
    return watts * min(1.0, max(0.0, (nothing - BOX_C) / (nothing - full)))


def capacitor_rating_v(part: Part) -> float | None:
    """The voltage written on a capacitor."""
    return rated_v(part) if device(part.kind).family == "capacitor" else None


def has_plus_end(part: Part) -> bool:
    """Whether a capacitor minds which way round it stands."""
    return device(part.kind).family == "capacitor" and is_polarised(part)
