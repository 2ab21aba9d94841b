"""Sentences about transistor stages: what the stage does here, and what each of its parts is for."""

from pedalwright.stages.bench import Bench
from pedalwright.stages.stage import Stage
from pedalwright.stages.transistor_shape import control_word, ends_of
from pedalwright.stages.transistor_spread import spread_says
from pedalwright.stages.transistor_words import Reading, amps, read
from pedalwright.stages.wording import named, ohms, times, volts

LOPSIDED = 3.0
"""from this ratio of the room on both sides the resting point deserves a word (house rule, no source)"""


def amplifier_purpose(stage: Stage, bench: Bench) -> str:
    """A common-emitter or common-source amplifier, its variants included, with its numbers."""
    reading = read(stage, bench)
    return f"{_what_it_does(reading)}{_how_it_rests(reading)}{spread_says(reading)}"


def follower_purpose(stage: Stage, bench: Bench) -> str:
    """An emitter or source follower with its numbers."""
    reading = read(stage, bench)
    _, bottom = ends_of(reading.network.cluster)
    level = reading.gain
    said = f"A follower: the {bottom} repeats the signal of the {control_word(reading.network.cluster)}"
    if level is not None and reading.emitter_ohms:
        said += f" at {100 * level:.1f} % of its level"
    said += _follower_ease(reading)
    return said + _follower_rest(reading) + spread_says(reading)


def _follower_ease(reading: Reading) -> str:
    """Why a follower is there: it takes little and gives much."""
    if reading.re_ohms is None:
        return ", so that what follows does not load what comes before."
    if not reading.bipolar:
        return (
            f", takes no current from what drives it, and shows what follows about {ohms(reading.re_ohms)}: "
            "a weak source is spared, a long cable is driven."
        )
    into = reading.input_ohms
    ease = f", loads its driver with {ohms(into)} only" if into and reading.emitter_ohms else ""
    return (
        f"{ease}, and shows what follows about {ohms(reading.re_ohms)} and the driver's resistance divided "
        "by "
        f"{reading.beta:.0f}."
    )


def _follower_rest(reading: Reading) -> str:
    _, bottom = ends_of(reading.network.cluster)
    standing = reading.standing
    if standing is None or reading.current_a is None:
        return ""
    if reading.cut_off:
        return f" At rest it is off; it conducts when its {control_word(reading.network.cluster)} is driven."
    return f" It rests with its {bottom} at {volts(standing[1])} and {amps(reading.current_a)} flowing."


def _what_it_does(reading: Reading) -> str:
    cluster = reading.network.cluster
    _, bottom = ends_of(cluster)
    still = reading.bench.classes.is_still
    gain = times(reading.gain) if reading.gain is not None else ""
    if cluster.shape == "cascode":
        held = "The upper transistor's base stands still and keeps the lower one's collector quiet"
        if not reading.bipolar:
            held = "The upper transistor holds the lower one's drain still"
        return (
            f"Two transistors as one amplifier (a cascode). {held}, so no treble returns to the "
            f"input.{_with(gain)}"
        )
    if still(cluster.control) and not reading.network.inputs:
        return _current_source(reading)
    if still(cluster.control):
        return (
            f"The signal enters at the {bottom} while the {control_word(cluster)} stands still: it comes "
            f"out upright.{_with(gain)}"
        )
    pair = "Two transistors, one driving the other's base, amplify as one with their current gains multiplied"
    lead = f"{pair}, and turn" if cluster.shape == "darlington" else "The transistor turns"
    turned = f"{lead} the signal over"
    if gain:
        turned += f" and makes it {gain}, before what follows loads it"
    return f"{turned}.{_emitter_out(reading)}{_returns(reading)}"


def _current_source(reading: Reading) -> str:
    """Nothing brings it a signal: it draws the same current whatever its load does."""
    top, bottom = ends_of(reading.network.cluster)
    flows = f" of {amps(reading.current_a)}" if reading.current_a is not None else ""
    return (
        f"A source of steady current{flows}: its {control_word(reading.network.cluster)} stands still, and "
        f"the {bottom} resistor makes of that voltage a current that does not care where the {top} is moved."
    )


def _with(gain: str) -> str:
    return f" The signal comes out {gain}." if gain else ""


def _emitter_out(reading: Reading) -> str:
    network = reading.network
    _, bottom = ends_of(network.cluster)
    if set(network.bottom_nets) & set(network.inputs):
        return (
            f" A second signal leaves (or enters) at the {bottom}, there not turned over; "
            f"the gain is told from both."
        )
    return ""


def _returns(reading: Reading) -> str:
    refs = dict.fromkeys(leaf.ref for leaf in reading.network.at("return"))
    if not refs:
        return ""
    parts = ", ".join(named(reading.bench, ref) for ref in refs)
    return (
        f" {parts} leads this emitter's voltage back to the base of the transistor before: that loop sets "
        "both "
        "resting points and tames the gain of the pair."
    )


def _how_it_rests(reading: Reading) -> str:
    if reading.standing is None or reading.current_a is None:
        return ""
    top, _ = ends_of(reading.network.cluster)
    said = f" At rest {amps(reading.current_a)} flow and the {top} stands at {volts(reading.standing[0])}"
    swing = reading.swing_v
    if reading.cut_off:
        return " At rest it is off: only a signal large enough to open it comes through."
    if reading.fully_on:
        return (
            f"{said}: fully on, so one half of the signal is lost and the other needs level to come through."
        )
    if swing is None or reading.rest is None or not reading.rest.load_ohms:
        return said + "."
    up, down = swing
    if up < 0.05:
        return f"{said}: hardly any current, so one half of the signal is lost."
    return (
        f"{said}: room for {volts(up)} towards the supply's end of its load and {volts(down)} towards the "
        f"other.{_lopsided(reading, up, down)}"
    )


def _lopsided(reading: Reading, up: float, down: float) -> str:
    """A word on a resting point far from the middle of its room."""
    if max(up, down) < LOPSIDED * min(up, down):
        return ""
    low = (down < up) == (reading.network.cluster.lead.polarity > 0)
    return f" It rests {'low: little room downward' if low else 'high: little room upward'}."
