"""What knobs and trims share: a track with a wiper on it."""

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Primitive, Resistance
from pedalwright.devices.device import Device, Pin, Worked
from pedalwright.devices.part_facts import MEMORY, Sentences, figures, value_mistakes
from pedalwright.units.values import Quantity

PINS = (
    Pin(name="1", aliases=("ccw",), says="counter-clockwise end of the track"),
    Pin(name="2", aliases=("wiper",), says="the wiper"),
    Pin(name="3", aliases=("cw",), says="clockwise end of the track"),
)
LAWS = ("linear", "audio", "reverse-audio")
HALF_TURN = 5.0
FULL_TURN = 10.0
END_OHMS = 1.0
"""Resistance left at an end stop: 1.0 to 1.2 ohm measured on six parts (Holmes and van Walstijn, DAFx-19)."""
AUDIO_PERCENT = 15
"""Which maker's audio law: 15.7 % of the track at half turn. Three parts measured by Holmes and van
Walstijn have 15.1 to 16.8 %, and above half turn they follow this law far better than the one-exponential
one.
"""
SMALLEST_OHMS, LARGEST_OHMS = 10.0, 1e8
RATINGS = figures(MEMORY, most_w=0.1)
"""Of a 16 mm carbon track as a whole; a part of it stands its share."""


def potentiometer(*, kind: str, title: str, says: str, worked: tuple[Worked, ...], page: str) -> Device:
    """An entry for one of the places a potentiometer may have."""
    return Device(
        kind=kind,
        title=title,
        says=says,
        letters=(),
        family="knob",
        pins=PINS,
        value_of="resistance",
        figures=RATINGS,
        expand=halves,
        check=check,
        worked=worked,
        page=page,
    )


def track_fraction(part: Part) -> float:
    """Fraction of the track between lug 1 and the wiper at the part's setting, 0..1.

    Raises ValueError for a setting off the dial.
    """
    # It brings the array library with it, which reading a text does not need.
    from pedalwright.formulas.taper import maker_audio

    turn = turn_of(part)
    if not 0 <= turn <= 1:
        raise ValueError(f"{part.ref} cannot stand at {part.setting}: a dial goes from 0 to 10")
    if part.law == "audio":
        return maker_audio(turn, AUDIO_PERCENT)
    if part.law == "reverse-audio":
        return 1.0 - maker_audio(1.0 - turn, AUDIO_PERCENT)
    return turn


def turn_of(part: Part) -> float:
    """The setting as a fraction of the whole turn; half a turn when the text gives none."""
    setting = HALF_TURN if part.setting is None else float(part.setting)
    return setting / FULL_TURN


def halves(part: Part) -> tuple[Primitive, ...]:
    """The two parts of the track; the end resistance is taken from the track, so they always add up to it."""
    track_ohms = part.value or 0.0
    lower = END_OHMS + track_fraction(part) * (track_ohms - 2 * END_OHMS)
    ends = ((("1", "2"), lower), (("2", "3"), track_ohms - lower))
    return tuple(
        Resistance(owner=part.ref, name=f"{part.ref}.{a}-{b}", a=part.net(a), b=part.net(b), ohms=ohms)
        for (a, b), ohms in ends
    )


def check(part: Part) -> tuple[Sentences, ...]:
    """Sentences about a track that cannot be, a law that is none, a setting off the dial."""
    found = [*value_mistakes(part, Quantity.RESISTANCE, SMALLEST_OHMS, LARGEST_OHMS)]
    if part.law not in LAWS:
        what = f"{part.ref}: '{part.law}' is not a law of a track."
        why = "The law says how resistance follows the turn."
        found.append((what, why, f"Write one of: {', '.join(LAWS)}."))
    if isinstance(part.setting, str) or not 0 <= turn_of(part) <= 1:
        what = f"{part.ref} cannot stand at {part.setting}."
        found.append((what, "A dial goes from 0 to 10.", "Write at 5, for instance."))
    return tuple(found)
