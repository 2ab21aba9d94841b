"""Circuits made to stand still: what the small-signal solution is about, and nothing else.

The clocks of echo chips do not run, so that their decoders give no current: the small-signal solution has no
delayed sound either, and there is no noise of the bits. Oscillators stand at their rest point, unpushed;
growing out of rounding takes them longer than a test. The cell of an optocoupler, which the notation gives
one resistance, follows its lamp in time: here it is written with what its resting lamp makes of it.
"""

import re

import pytest

from pedalwright import circuits
from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.circuit import Circuit
from pedalwright.circuit.primitives import Resistance
from pedalwright.devices.kinds.optocoupler import cell_ohms
from pedalwright.notation import read_text
from pedalwright.sound.player import Player


def circuit_at(name: str, place: float) -> Circuit:
    """A package circuit with every knob at one place, its cells as its resting lamps light them."""
    text = circuits.text(name)
    found = set_to(read_text(text), place)
    for part in found.parts:
        if part.kind == "optocoupler":
            ohms = cell_ohms(lamp_amperes(found, part.ref))
            text = re.sub(rf"(part\s+{part.ref} optocoupler ohms=)\S+", rf"\g<1>{ohms:.9g}", text)
    return set_to(read_text(text), place)


def set_to(circuit: Circuit, place: float) -> Circuit:
    return circuit.with_settings({knob.ref: place for knob in circuit.knobs})


def lamp_amperes(circuit: Circuit, ref: str) -> float:
    """What flows through the lamp at rest: the volts across its own resistance over that resistance."""
    analysis = Analysis(circuit)
    series = next(one for one in analysis.primitives if one.name == f"{ref}/lamp/series")
    assert isinstance(series, Resistance)
    return (analysis.rest.volts(series.a) - analysis.rest.volts(series.b)) / series.ohms


def still_player(circuit: Circuit, patch: pytest.MonkeyPatch, oversampling: int | None = None) -> Player:
    """A player that nothing but its input moves."""
    patch.setattr("pedalwright.sound.player.kick", lambda work, state: False)
    player = Player.of(circuit, oversampling=oversampling)
    player._bits.runs[:] = 0
    return player
