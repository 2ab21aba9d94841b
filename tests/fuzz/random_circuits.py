"""Circuits of pure chance: every part is real, what is joined to what is not."""

from random import Random

NODES = ("IN", "OUT", "VIN", "VA", "V5", "VB", "A", "B", "D1X", "gnd", "gnd")
VALUES = {
    "R": ("0R", "1R", "100", "4k7", "10k", "220k", "1M", "22M"),
    "C": ("1p", "100p", "10n", "1u", "47u (electrolytic, 16V)", "10u (tantalum, 6V)", "1000u"),
    "D": ("1N4148", "1N5817", "red (led)", "5V1 (zener)", "1N34A"),
    "L": ("10m", "1H"),
}
PARTS = (
    "part U1 dual-opamp TL072",
    "part U2 echo-chip",
    "part U3 regulator 5V",
    "part U4 opamp LM386",
    "part Q1 npn 2N3904",
    "part Q2 pnp 2N3906",
    "part Q3 n-jfet J201",
    "part Q4 n-mosfet BS170",
    "part U5 quad-opamp TL074",
    "part U6 regulator 8V",
)
PINS = {
    "U1": ("U1a.inv", "U1a.non", "U1a.out", "U1b.inv", "U1b.non", "U1b.out", "U1.v+", "U1.v-"),
    "U2": tuple(f"U2.{pin}" for pin in range(1, 17)),
    "U3": ("U3.in", "U3.out", "U3.gnd"),
    "U5": ("U5a.inv", "U5a.non", "U5a.out", "U5d.inv", "U5d.out", "U5.v+", "U5.v-"),
    "U6": ("U6.in", "U6.out", "U6.gnd"),
    "Q1": ("Q1.b", "Q1.c", "Q1.e"),
    "Q2": ("Q2.b", "Q2.c", "Q2.e"),
    "Q3": ("Q3.g", "Q3.d", "Q3.s"),
    "Q4": ("Q4.g", "Q4.d", "Q4.s"),
}
WANTS = ("delay.min < 60ms", "dry.gain = 0dB +- 1dB", "supply.current < 10mA", "nonsense > 3")


def random_circuit(seed: int) -> str:
    """The text of one circuit; the same for the same seed. It may hold mistakes that stop it."""
    chance = Random(seed)
    volts = chance.choice(("9V", "9V", "-9V", "3V", "18V", "60V"))
    lines = [f"supply VIN {volts} {chance.choice(('wall', 'battery'))}"]
    lines += ["input IN pickup"] if chance.random() < 0.9 else []
    lines += ["output OUT 1M"] if chance.random() < 0.9 else []
    nodes = list(NODES)
    for part in chance.sample(PARTS, chance.randrange(0, 5)):
        ref = part.split()[1]
        pins = [
            f" {pin.split('.')[1]}={chance.choice(NODES)}"
            for pin in PINS.get(ref, ())
            if ref == "U1" and ".v" in pin
        ]
        lines.append(part + "".join(pins))
        nodes += PINS.get(ref, ())
    if chance.random() < 0.6:
        law = chance.choice(("linear", "audio", "reverse-audio"))
        lines.append(f"knob TIME 50k {law} at {chance.choice((0, 5, 10))}")
        nodes += ["TIME.1", "TIME.2", "TIME.3"]
    if chance.random() < 0.3:
        lines.append("switch MODE up down at up")
        nodes += ["MODE.common", "MODE.up", "MODE.down"]
    lines += [f"want {chance.choice(WANTS)}"] if chance.random() < 0.3 else []
    return "\n".join([*lines, *_walks(chance, nodes)]) + "\n"


def _walks(chance: Random, nodes: list[str]) -> list[str]:
    walks, number = [], 1
    for _ in range(chance.randrange(1, 25)):
        items = [chance.choice(nodes)]
        for _ in range(chance.randrange(0, 3)):
            letter = chance.choice("RRRCCCDL")
            items.append(f"{letter}{number} {chance.choice(VALUES[letter])}")
            number += 1
            if chance.random() < 0.5:
                items.append(chance.choice(nodes))
        walks.append(" > ".join([*items, chance.choice(nodes)]))
    return walks
