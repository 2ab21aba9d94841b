"""What each part of a transistor stage is for, in a sentence with its number."""

from collections.abc import Callable, Mapping

from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Leaf
from pedalwright.stages.stage import Stage
from pedalwright.stages.transistor_shape import control_word, ends_of, role_of
from pedalwright.stages.transistor_words import Reading, amps, corner_hz, read
from pedalwright.stages.wording import farads, hz, named, ohms, times, volts


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part of a transistor stage is for, with its number."""
    reading = read(stage, bench)
    role = role_of(stage, ref)
    leaf = next((item for item in reading.network.leaves if item.ref == ref), None)
    teller = _TELLERS.get(role)
    if leaf is None and teller is _stopper:
        value = ohms(bench.view.circuit.by_ref[ref].value or 0.0)
        return (
            f"Stands with {value} before the coupling capacitor: far less than what follows, so hardly any "
            "level is lost, and the driver is kept apart from the input."
        )
    if teller is None or leaf is None:
        return (
            _transistor(reading, ref)
            if role == "transistor"
            else f"{named(bench, ref)} belongs to the stage's network."
        )
    return teller(reading, leaf)


def _transistor(reading: Reading, ref: str) -> str:
    cluster = reading.network.cluster
    control = control_word(cluster)
    if ref != cluster.lead.ref and cluster.shape == "cascode":
        return f"Stands with its {control} still and passes the lower transistor's current on to the load."
    if ref != cluster.lead.ref:
        return "Takes its base current from the first transistor and carries nearly all of the current."
    flow = f" ({amps(reading.current_a)} at rest)" if reading.current_a else ""
    if reading.re_ohms is None:
        return f"Its {control} steers the current that flows through it{flow}."
    return (
        f"Its {control} steers the current that flows through it{flow}; at this current its own "
        f"{ends_of(cluster)[1]} acts like {ohms(reading.re_ohms)} in series."
    )


def _load(reading: Reading, leaf: Leaf) -> str:
    top, _ = ends_of(reading.network.cluster)
    drop = (
        f" Its resting drop is {volts(abs(reading.rest.top_return_v - reading.standing[0]))}."
        if reading.rest and reading.standing and reading.rest.load_ohms
        else ""
    )
    if reading.network.output_at_bottom:
        return f"Keeps the {top}'s current within bounds; the signal is not taken here.{drop}"
    gain = f" With it the stage gives {times(reading.gain)}." if reading.gain is not None else ""
    return (
        f"Turns the {top}'s current into the output voltage: larger means more gain, but also a lower {top} "
        f"at the same current.{drop}{gain}"
    )


def _below(reading: Reading, leaf: Leaf) -> str:
    _, bottom = ends_of(reading.network.cluster)
    flows = reading.current_a is not None and not reading.cut_off
    amount = f" of {amps(reading.current_a)}" if reading.current_a is not None and flows else ""
    if reading.network.output_at_bottom:
        return _below_a_follower(reading, amount)
    if _is_idle_at_rest(reading, leaf):
        return _behind_the_bypass(reading)
    steadies = (
        f"Holds the resting current{amount} against changes of the transistor: more current lifts the "
        f"{bottom} and throttles itself."
    )
    left = reading.emitter_ohms
    if reading.bench.classes.is_still(reading.network.cluster.control):
        return f"{steadies} The signal enters above it."
    if reading.bench.classes.is_still(reading.network.cluster.bottom) or reading.gain is None:
        return steadies
    return (
        f"{steadies} At 1 kHz {ohms(left)} of the {bottom} path are left in the signal's way, and the gain "
        f"is {times(reading.gain)}."
    )


def _behind_the_bypass(reading: Reading) -> str:
    said = "No resting current flows in it, because it stands behind a capacitor: it sets the gain."
    if reading.gain is None:
        return said
    _, bottom = ends_of(reading.network.cluster)
    return (
        f"{said} At 1 kHz {ohms(reading.emitter_ohms)} of the {bottom} path are left in the signal's way, "
        f"and the stage gives {times(reading.gain)}; smaller gives more."
    )


def _is_idle_at_rest(reading: Reading, leaf: Leaf) -> bool:
    """From one of its ends only capacitors lead on."""
    return any(_is_dead_end(reading, leaf, end) for end in (leaf.a, leaf.b))


def _is_dead_end(reading: Reading, leaf: Leaf, start: str) -> bool:
    """No direct current finds a way on from a net, over anything but the part itself."""
    view, pending, seen = reading.bench.view, [start], {start}
    while pending:
        net = pending.pop()
        if net in view.ports or view.active_pins.get(net) or reading.bench.classes.is_still(net):
            return False
        onward = [other for other in view.on(net) if other.sort != "C" and other.name != leaf.name]
        more = {other.other(net) for other in onward} - seen
        seen |= more
        pending += more
    return True


def _below_a_follower(reading: Reading, amount: str) -> str:
    _, bottom = ends_of(reading.network.cluster)
    if reading.network.output != reading.network.cluster.bottom:
        return f"Leads from the {bottom} to the output and keeps the resting current{amount} within bounds."
    if reading.cut_off:
        return f"Carries the current once the {control_word(reading.network.cluster)} is driven."
    return (
        f"Carries the resting current{amount} and so lets the {bottom} move both ways; the signal "
        "appears across it."
    )


def _bypass(reading: Reading, leaf: Leaf) -> str:
    corner = corner_hz(reading, leaf)
    said = (
        f"Lets the signal past the {ends_of(reading.network.cluster)[1]} resistance while the resting "
        "current still feels it: full gain"
    )
    return f"{said} above about {hz(corner)}." if corner else f"{said} for treble."


def _gain_knob(reading: Reading, leaf: Leaf) -> str:
    if reading.gain is None:
        return "Moves the gain."
    return f"Moves the gain; at its present position the stage gives {times(reading.gain)}."


def _bias_trim(reading: Reading, leaf: Leaf) -> str:
    top, _ = ends_of(reading.network.cluster)
    stands = f", now {volts(reading.standing[0])}" if reading.standing else ""
    return (
        f"Sets where the {top} rests{stands}: turn it until the signal clips alike on both sides, "
        "because no two transistors of a type are alike."
    )


def _bias_feedback(reading: Reading, leaf: Leaf) -> str:
    if reading.network.places[leaf.name] == "return":
        return (
            "Feeds the first transistor's base from this emitter: if the second conducts more, the first is "
            "given more, "
            "pulls its collector down and so holds the second back. Larger: more gain, a less certain rest."
        )
    gain = ""
    if reading.gain:
        gain = (
            f" For the signal it looks like {ohms(leaf.value / (1 + abs(reading.gain)))} from base to ground."
        )
    return (
        "Gives the base its current from the collector: more current pulls the collector down and takes "
        "base current "
        f"away, so the stage finds its rest by itself.{gain}"
    )


def _feedback_capacitor(reading: Reading, leaf: Leaf) -> str:
    if reading.gain is None:
        return "Leads treble back to the base: the gain falls with frequency."
    seen = leaf.value * (1 + abs(reading.gain))
    return (
        f"Leads treble back to the base, turned over: it works there like {farads(seen)} to ground and keeps "
        "radio stations and oscillation out."
    )


def _feedback_resistor(reading: Reading, leaf: Leaf) -> str:
    if reading.network.places[leaf.name] == "series":
        return _pair_feedback(reading, leaf)
    return "Leads part of the output back, turned over: less gain, less distortion, lower impedances."


def _pair_feedback(reading: Reading, leaf: Leaf) -> str:
    """The resistor from the second transistor's output to the first one's emitter."""
    _, bottom = ends_of(reading.network.cluster)
    below = [item.value for item in reading.network.at("bottom") if item.sort == "R"]
    gain = f", about {times(1.0 + leaf.value / sum(below))}" if below else ""
    return (
        f"Leads the output of the next transistor back to this {bottom}: against the {bottom} resistor it "
        f"sets the gain of the pair{gain}, whatever the transistors' own figures are."
    )


def _load_capacitor(reading: Reading, leaf: Leaf) -> str:
    corner = corner_hz(reading, leaf)
    return f"Lets treble fall above {hz(corner)}." if corner else f"Takes treble away ({farads(leaf.value)})."


def _stopper(reading: Reading, leaf: Leaf) -> str:
    control = control_word(reading.network.cluster)
    if reading.bipolar:
        return (
            f"Stands before the {control}: keeps the driver apart from it, and with feedback to the "
            f"{control} sets the gain."
        )
    return (
        f"Stands before the {control}: no signal is lost in it, but with the {control}'s capacitance it "
        "keeps radio and oscillation out."
    )


def _bootstrap(reading: Reading, leaf: Leaf) -> str:
    return (
        "Leads the output back to the lower end of the bias resistor: both ends move alike, "
        "so the resistor hardly loads the input."
    )


Teller = Callable[[Reading, Leaf], str]


_TELLERS: Mapping[str, Teller] = {
    "collector resistor": _load,
    "drain resistor": _load,
    "emitter resistor": _below,
    "source resistor": _below,
    "emitter bypass capacitor": _bypass,
    "source bypass capacitor": _bypass,
    "gain knob": _gain_knob,
    "bias trim": _bias_trim,
    "bias feedback resistor": _bias_feedback,
    "feedback capacitor": _feedback_capacitor,
    "feedback resistor": _feedback_resistor,
    "load capacitor": _load_capacitor,
    "base resistor": _stopper,
    "gate resistor": _stopper,
    "bootstrap capacitor": _bootstrap,
}
