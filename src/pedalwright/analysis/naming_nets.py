"""From a word someone types to the net it means: a net's name, or a pin such as ``U1a.out``, ``TIME.2``,
``C3.1``.
"""

from difflib import get_close_matches

from pedalwright.circuit.circuit import GROUND, Circuit
from pedalwright.circuit.part import Part
from pedalwright.devices.catalogue import device


class NetMistake(ValueError):
    """The word names no net and no pin; the text says what would."""


def net_named(circuit: Circuit, word: str) -> str:
    """The net a word means; raises NetMistake with a hint when there is none."""
    word = word.strip()
    for known in (word, f"~{word}"):
        if known in circuit.nets:
            return known
    if word.lower() in ("gnd", "ground", "0"):
        return GROUND
    base, dot, pin = word.partition(".")
    if dot and base in circuit.by_ref:
        return _pin_net(circuit.by_ref[base], pin)
    if dot and base[:-1] in circuit.by_ref:
        return _pin_net(circuit.by_ref[base[:-1]], f"{base[-1]}.{pin}")
    if word in circuit.by_ref:
        part = circuit.by_ref[word]
        raise NetMistake(f"{word} is a part; say which of its pins: {_pins(part)}.")
    raise NetMistake(f"There is no net '{_short(word)}'; {_hint(circuit, word)}")


def spoken_nets(circuit: Circuit) -> tuple[str, ...]:
    """The nets that have a name in the text."""
    return tuple(net for net in circuit.nets if net.isprintable() and "/" not in net and "~" not in net)


def spoken(net: str) -> str:
    """A net as it is spoken of: one without a name of its own goes by a pin on it."""
    return net.removeprefix("~")


def _pin_net(part: Part, pin: str) -> str:
    for known in device(part.kind).pins_for(part):
        if pin == known.name or pin in known.aliases:
            return part.net(known.name)
    raise NetMistake(f"{part.ref} has no pin '{_short(pin)}'; it has {_pins(part)}.")


def _pins(part: Part) -> str:
    """The pins as they are written: ``U1a.inv``, ``R5.1``."""
    return ", ".join(
        f"{part.ref}{name}" if name[1:2] == "." and name[0].isalpha() else f"{part.ref}.{name}"
        for name, _ in part.pins
    )


def _hint(circuit: Circuit, word: str) -> str:
    nets = spoken_nets(circuit)
    near = get_close_matches(word.upper(), nets, n=1, cutoff=0.5)
    return f"did you mean {near[0]}?" if near else f"there are {', '.join(nets[:30])}."


def _short(text: str) -> str:
    return text if len(text) <= 40 else f"{text[:37]}..."
