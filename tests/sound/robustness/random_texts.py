"""Circuits by chance in our own notation: a chain of stages as builders make them, values over decades.

`passive` ones hold resistors, capacitors, coils, diodes and knobs and no supply; `active` ones anything.
Every circuit has its number as the seed, so that one can be looked at alone.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

LAWS = ("linear", "audio", "reverse-audio")
E12 = (1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2)
SIGNS = ((1e6, "M"), (1e3, "k"), (1.0, ""), (1e-3, "m"), (1e-6, "u"), (1e-9, "n"), (1e-12, "p"))
OPAMPS = ("TL072", "NE5532", "LM358", "OPA2134")
DIODES = ("1N4148", "1N34A", "1N5817", "1N4001")
SUPPLY_V = 9.0


def written(value: float) -> str:
    size, sign = next((size, sign) for size, sign in SIGNS if value >= size * 0.999)
    return f"{value / size:.3g}{sign}"


@dataclass
class Draft:
    """The lines of a circuit in the making. `net` is where the sound is; `rests` where it may rest."""

    rng: np.random.Generator
    rests: str
    heads: list[str] = field(default_factory=list)
    lines: list[str] = field(default_factory=list)
    net: str = "IN"
    count: int = 0

    def name(self, letters: str) -> str:
        self.count += 1
        return f"{letters}{self.count}"

    def value(self, low: float, high: float) -> float:
        """A preferred value, evenly spread over decades."""
        decade = np.exp(self.rng.uniform(np.log(low), np.log(high)))
        power = 10.0 ** np.floor(np.log10(decade))
        return float(self.rng.choice(E12) * power)

    def choice(self, among: tuple[str, ...]) -> str:
        return str(self.rng.choice(among))

    def resistor(self, low: float = 100.0, high: float = 1e6) -> str:
        return f"{self.name('R')} {written(self.value(low, high))}"

    def capacitor(self, low: float = 1e-11, high: float = 1e-5) -> str:
        return f"{self.name('C')} {written(self.value(low, high))}"

    def coil(self) -> str:
        return f"{self.name('L')} {written(self.value(1e-3, 1.0))}"

    def diode(self) -> str:
        return f"{self.name('D')} {self.choice(DIODES)}"

    def knob(self, low: float = 1e3, high: float = 5e5) -> str:
        name = self.name("K")
        place = round(float(self.rng.uniform(0, 10)), 1)
        self.heads.append(f"knob {name} {written(self.value(low, high))} {self.choice(LAWS)} at {place}")
        return name

    def add(self, line: str) -> None:
        self.lines.append(line)

    def moved_on(self) -> str:
        """A new net for the sound; the old one is given."""
        before, self.net = self.net, self.name("N")
        return before


def low_pass(d: Draft) -> None:
    before = d.moved_on()
    d.add(f"{before} > {d.resistor()} > {d.net} > {d.capacitor()} > gnd")


def high_pass(d: Draft) -> None:
    before = d.moved_on()
    d.add(f"{before} > {d.capacitor()} > {d.net} > {d.resistor()} > {d.rests}")


def resonance(d: Draft) -> None:
    before = d.moved_on()
    d.add(f"{before} > {d.resistor()} > {d.net} > {d.coil()} || {d.capacitor()} > gnd")


def series_coil(d: Draft) -> None:
    before = d.moved_on()
    d.add(f"{before} > {d.coil()} > {d.net} > {d.capacitor()} > gnd")
    d.add(f"{d.net} > {d.resistor()} > gnd")


def volume(d: Draft) -> None:
    before, knob = d.moved_on(), d.knob()
    d.add(f"{before} > {knob}.3")
    d.add(f"{knob}.1 > {d.rests}")
    d.add(f"{knob}.2 > {d.net}")


def turned_resistor(d: Draft) -> None:
    before, knob = d.moved_on(), d.knob()
    d.add(f"{before} > {knob}.3")
    d.add(f"{knob}.2 > {knob}.1 > {d.net} > {d.capacitor()} > gnd")


def bare_turned_shunt(d: Draft) -> None:
    """A knob to ground with nothing in series: it comes near nothing at its end."""
    before, knob = d.moved_on(), d.knob()
    d.add(f"{before} > {d.resistor()} > {d.net}")
    d.add(f"{d.net} > {knob}.3")
    d.add(f"{knob}.2 > {knob}.1 > {d.capacitor(1e-8, 1e-5)} > gnd")


def clipper(d: Draft) -> None:
    before = d.moved_on()
    d.add(f"{before} > {d.resistor(100, 1e5)} > {d.net} > {d.diode()} > gnd")
    d.add(f"gnd > {d.diode()} > {d.net}")
    d.add(f"{d.net} > {d.capacitor(1e-11, 1e-7)} > gnd")


def rectifier(d: Draft) -> None:
    before = d.moved_on()
    d.add(f"{before} > {d.diode()} > {d.net} > {d.resistor()} || {d.capacitor()} > gnd")


def zener_clamp(d: Draft) -> None:
    before = d.moved_on()
    d.add(f"{before} > {d.resistor(100, 1e5)} > {d.net}")
    d.add(f"gnd > {d.name('D')} {d.choice(('3V3', '5V1'))} (zener) > {d.net}")


def opamp(d: Draft) -> str:
    name = d.name("U")
    d.heads.append(f"part {name} dual-opamp {d.choice(OPAMPS)} v+=VA v-=gnd")
    return name


def non_inverting(d: Draft) -> None:
    before, unit = d.moved_on(), opamp(d)
    d.add(f"{before} > {d.capacitor(1e-9, 1e-5)} > {unit}a.non > {d.resistor(1e4, 2e6)} > VB")
    d.add(f"{unit}a.inv > {d.resistor(100, 1e5)} > {d.capacitor(1e-9, 1e-5)} > gnd")
    d.add(f"{unit}a.inv > {d.resistor(1e3, 1e6)} || {d.capacitor(1e-11, 1e-8)} > {unit}a.out > {d.net}")


def inverting_with_knob(d: Draft) -> None:
    before, unit, knob = d.moved_on(), opamp(d), d.knob()
    d.add(f"{before} > {d.capacitor(1e-9, 1e-5)} > {d.resistor(1e3, 1e5)} > {unit}a.inv")
    d.add(f"{unit}a.inv > {knob}.3")
    d.add(f"{knob}.2 > {knob}.1 > {unit}a.out > {d.net}")
    d.add(f"{unit}a.non > VB")


def overdrive(d: Draft) -> None:
    before, unit = d.moved_on(), opamp(d)
    d.add(f"{before} > {d.capacitor(1e-9, 1e-6)} > {unit}a.non > {d.resistor(1e5, 1e6)} > VB")
    d.add(f"{unit}a.inv > {d.resistor(1e3, 1e5)} > {d.capacitor(1e-9, 1e-6)} > gnd")
    d.add(f"{unit}a.inv > {d.resistor(1e4, 1e6)} || {d.capacitor(1e-11, 1e-9)} > {unit}a.out > {d.net}")
    d.add(f"{unit}a.inv > {d.diode()} > {unit}a.out")
    d.add(f"{unit}a.out > {d.diode()} > {unit}a.inv")


def common_emitter(d: Draft) -> None:
    before, ref = d.moved_on(), d.name("Q")
    d.heads.append(f"part {ref} npn {d.choice(('2N3904', '2N5088'))}")
    d.add(f"{before} > {d.capacitor(1e-9, 1e-5)} > {ref}.b")
    d.add(f"VA > {d.resistor(1e3, 1e5)} > {ref}.c")
    d.add(f"{ref}.c > {d.resistor(1e5, 5e6)} > {ref}.b")
    d.add(f"{ref}.e > {d.resistor(10, 5e3)} > gnd")
    d.add(f"{ref}.c > {d.capacitor(1e-9, 1e-5)} > {d.net} > {d.resistor(1e4, 1e6)} > gnd")


def emitter_follower(d: Draft) -> None:
    before, ref = d.moved_on(), d.name("Q")
    d.heads.append(f"part {ref} npn 2N3904")
    d.add(f"{before} > {d.capacitor(1e-9, 1e-5)} > {ref}.b > {d.resistor(1e4, 2e6)} > VB")
    d.add(f"{ref}.c > VA")
    d.add(f"{ref}.e > {d.resistor(1e3, 1e5)} > gnd")
    d.add(f"{ref}.e > {d.net}")


def pnp_emitter(d: Draft) -> None:
    before, ref = d.moved_on(), d.name("Q")
    d.heads.append(f"part {ref} pnp 2N3906")
    d.add(f"{before} > {d.capacitor(1e-9, 1e-5)} > {ref}.b > {d.resistor(1e4, 1e6)} > VB")
    d.add(f"VA > {d.resistor(100, 1e4)} > {ref}.e")
    d.add(f"{ref}.c > {d.resistor(1e3, 1e5)} > gnd")
    d.add(f"{ref}.c > {d.net}")


def common_source(d: Draft) -> None:
    before, ref = d.moved_on(), d.name("Q")
    d.heads.append(f"part {ref} n-jfet {d.choice(('J201', '2N5457'))}")
    d.add(f"{before} > {d.capacitor(1e-9, 1e-6)} > {ref}.g > {d.resistor(1e5, 5e6)} > gnd")
    d.add(f"VA > {d.resistor(1e3, 1e5)} > {ref}.d")
    d.add(f"{ref}.s > {d.resistor(100, 1e4)} || {d.capacitor(1e-7, 1e-4)} > gnd")
    d.add(f"{ref}.d > {d.capacitor(1e-9, 1e-5)} > {d.net} > {d.resistor(1e4, 1e6)} > gnd")


def mosfet(d: Draft) -> None:
    before, ref = d.moved_on(), d.name("Q")
    d.heads.append(f"part {ref} n-mosfet 2N7000")
    d.add(f"{before} > {d.capacitor(1e-9, 1e-6)} > {ref}.g")
    d.add(f"VA > {d.resistor(5e5, 5e6)} > {ref}.g > {d.resistor(1e5, 2e6)} > gnd")
    d.add(f"VA > {d.resistor(1e3, 3e4)} > {ref}.d")
    d.add(f"{ref}.s > {d.resistor(47, 5e3)} > gnd")
    d.add(f"{ref}.d > {d.capacitor(1e-9, 1e-5)} > {d.net} > {d.resistor(1e4, 1e6)} > gnd")


def comparator(d: Draft) -> None:
    before, unit = d.moved_on(), opamp(d)
    d.add(f"{before} > {d.capacitor(1e-8, 1e-5)} > {d.resistor(1e3, 1e5)} > {unit}a.non")
    d.add(f"{unit}a.non > {d.resistor(1e4, 1e6)} > {unit}a.out")
    d.add(f"{unit}a.inv > VB")
    d.add(f"{unit}a.non > {d.resistor(1e5, 2e6)} > VB")
    d.add(f"{unit}a.out > {d.resistor(1e3, 1e5)} > {d.net} > {d.capacitor(1e-10, 1e-7)} > gnd")


def echo(d: Draft) -> None:
    before, ref, knob = d.moved_on(), d.name("U"), d.knob(1e4, 1e5)
    d.heads.append(f"part {ref} echo-chip supply=V5")
    mix, steps = d.name("N"), d.name("N")
    d.add(
        f"{before} > {d.capacitor(1e-7, 1e-5)} > {d.resistor(1e4, 1e5)} > {mix} > "
        f"{d.resistor(5e3, 2e4)} > {ref}.16"
    )
    d.add(f"{mix} > {d.resistor(1e4, 4e4)} > {ref}.15")
    d.add(f"{mix} > {d.capacitor(1e-9, 1e-8)} > gnd")
    d.add(f"{ref}.16 > {d.capacitor(2e-10, 2e-9)} > {ref}.15")
    d.add(f"{ref}.2 > {d.capacitor(1e-5, 1e-4)} > gnd")
    for store in ("7", "8"):
        d.add(f"{ref}.{store} > {d.capacitor(2e-8, 5e-7)} > gnd")
    for out, back in (("9", "10"), ("12", "11")):
        d.add(f"{ref}.{out} > {d.capacitor(2e-8, 2e-7)} > {ref}.{back}")
    d.add(f"{ref}.6 > {d.resistor(5e2, 1e4)} > {knob}.1")
    d.add(f"{knob}.2 > {knob}.3 > gnd")
    d.add(f"{ref}.12 > {d.resistor(5e3, 2e4)} > {steps} > {d.resistor(5e3, 2e4)} > {ref}.13")
    d.add(f"{steps} > {d.resistor(1e4, 2e4)} > {ref}.14")
    d.add(f"{steps} > {d.capacitor(2e-9, 1e-8)} > gnd")
    d.add(f"{ref}.13 > {d.capacitor(5e-10, 2e-9)} > {ref}.14")
    d.add(f"{ref}.14 > {d.capacitor(5e-7, 2e-6)} > {d.resistor(1e4, 1e5)} > {mix}")
    d.add(f"{ref}.14 > {d.capacitor(1e-7, 1e-5)} > {d.net} > {d.resistor(1e4, 1e6)} > gnd")


Stage = Callable[[Draft], None]
PASSIVE: tuple[Stage, ...] = (
    low_pass, high_pass, resonance, series_coil, volume, turned_resistor, bare_turned_shunt, clipper,
    rectifier, zener_clamp,
)  # fmt: skip
ACTIVE: tuple[Stage, ...] = (
    non_inverting, inverting_with_knob, overdrive, common_emitter, emitter_follower, pnp_emitter,
    common_source, mosfet, comparator, echo,
)  # fmt: skip
POWER = """VIN > R901 {series} > VA > C901 {store} > gnd
VA > R902 {half} > VB > R903 {half} > gnd
VB > C902 {calm} > gnd
"""
FIVE = "part U900 regulator 5V in=VA out=V5 gnd=gnd\n"


def passive_text(number: int) -> str:
    """A passive circuit between its source of some ohms and its load."""
    draft = Draft(np.random.default_rng([1, number]), "gnd")
    for _ in range(int(draft.rng.integers(1, 5))):
        PASSIVE[int(draft.rng.integers(len(PASSIVE)))](draft)
    source, load = written(draft.value(10.0, 1e5)), written(draft.value(1e3, 1e6))
    return whole(draft, [f"input IN {source} 1V", f"output {draft.net} {load}"])


def active_text(number: int) -> str:
    """A circuit of one to four stages, at least one of which amplifies."""
    draft = Draft(np.random.default_rng([2, number]), "VB")
    stages = [ACTIVE[int(draft.rng.integers(len(ACTIVE)))]]
    stages += [(PASSIVE + ACTIVE)[int(k)] for k in draft.rng.integers(20, size=int(draft.rng.integers(0, 4)))]
    for place in draft.rng.permutation(len(stages)):
        stages[int(place)](draft)
    draft.add(
        POWER.format(
            series=written(draft.value(10.0, 300.0)), store=written(draft.value(1e-5, 3e-4)),
            half=written(draft.value(5e3, 1e5)), calm=written(draft.value(1e-6, 1e-4)),
        )
    )  # fmt: skip
    if any("echo-chip" in head for head in draft.heads):
        draft.heads.append(FIVE.strip())
        draft.add("V5 > C903 47u > gnd")
    end = draft.moved_on()
    draft.add(f"{end} > {draft.capacitor(1e-8, 1e-5)} > {draft.net} > {draft.resistor(1e4, 1e6)} > gnd")
    ends = ["supply VIN 9V wall", f"input IN {draft.choice(('pickup', 'line', 'buffered'))}"]
    return whole(draft, [*ends, f"output {draft.net} {written(draft.value(1e4, 1e6))}"])


def whole(draft: Draft, ends: list[str]) -> str:
    return "\n".join([*ends, *draft.heads, *draft.lines]) + "\n"
