"""The noise at the output jack, for two quantities."""

from typing import TYPE_CHECKING

from pedalwright.analysis.wants._record import Desk, NotKnown

if TYPE_CHECKING:
    from pedalwright.analysis.noise.records import InputNoise

BASIS = "A-weighted, 20 Hz to 20 kHz, with {source}, knobs as they stand"
KEPT = "wants noise"
NOTHING = "Nothing in this circuit makes a noise that reaches the output."


def hiss(desk: Desk) -> "InputNoise":
    """The noise with what the text plugs in; computed once. Raises NotKnown where it is not told."""
    # Imported here: few circuits want anything of their noise.
    from pedalwright.analysis.naming_nets import NetMistake
    from pedalwright.analysis.noise import played_noise
    from pedalwright.analysis.noise.records import InputNoise

    kept = desk.analysis.kept
    if KEPT not in kept:
        try:
            kept[KEPT] = played_noise(desk.analysis)
        except NetMistake:
            raise NotKnown("The text names no output at which noise could be heard.") from None
    found = kept[KEPT]
    assert isinstance(found, InputNoise)
    if not found.weighted_v:
        raise NotKnown(found.refusal or NOTHING)
    return found


def basis(found: "InputNoise") -> str:
    """The conditions of both figures."""
    return BASIS.format(source=found.words)
