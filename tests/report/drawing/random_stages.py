"""Circuits by chance, but built from real stages: what a designer might string together on a wet Sunday."""

from collections.abc import Callable
from dataclasses import dataclass, field
from random import Random

R_VALUES = ("470", "1k", "4k7", "10k", "22k", "47k", "100k", "220k", "470k")
C_VALUES = (
    "100p (ceramic)",
    "1n (film)",
    "4n7 (film)",
    "47n (film)",
    "220n (film)",
    "10u (electrolytic, 16V)",
)
DIODES = ("1N4148", "1N34A", "red", "1N914")
LAWS = ("linear", "audio", "reverse-audio")


@dataclass
class Builder:
    """Writes stage after stage; `net` is where the signal has come to."""

    chance: Random
    net: str = "IN"
    lines: list[str] = field(default_factory=list)
    heads: list[str] = field(default_factory=list)
    count: dict[str, int] = field(default_factory=dict)

    def ref(self, letter: str) -> str:
        self.count[letter] = self.count.get(letter, 0) + 1
        return f"{letter}{self.count[letter]}"

    def r(self) -> str:
        return f"{self.ref('R')} {self.chance.choice(R_VALUES)}"

    def c(self) -> str:
        return f"{self.ref('C')} {self.chance.choice(C_VALUES)}"

    def d(self) -> str:
        return f"{self.ref('D')} {self.chance.choice(DIODES)}"

    def place(self) -> str:
        return f"N{self.ref('N')}"

    def amplifier(self) -> str:
        number = self.count.get("sections", 0)
        self.count["sections"] = number + 1
        if number % 2 == 0:
            self.heads.append(f"part U{number // 2 + 1} dual-opamp TL072 v+=VA v-=gnd")
        return f"U{number // 2 + 1}{'ab'[number % 2]}"

    def knob(self) -> str:
        name = f"KNOB{'ABCDEFGHIJKLMNOP'[self.count.get('knob', 0)]}"
        self.count["knob"] = self.count.get("knob", 0) + 1
        self.heads.append(f"knob {name} 100k {self.chance.choice(LAWS)} at {self.chance.randrange(1, 10)}")
        return name

    def say(self, *walks: str) -> None:
        self.lines.extend(walks)


def follower(b: Builder) -> None:
    u = b.amplifier()
    b.say(f"{b.net} > {b.c()} > {u}.non", f"VB > {b.r()} > {u}.non", f"{u}.out > {u}.inv")
    b.net = f"{u}.out"


def non_inverting(b: Builder) -> None:
    u = b.amplifier()
    b.say(f"{b.net} > {b.c()} > {u}.non", f"VB > {b.r()} > {u}.non")
    b.say(f"{u}.inv > {b.r()} > {b.c()} > gnd", f"{u}.inv > {b.r()} || {b.c()} > {u}.out")
    b.net = f"{u}.out"


def inverting(b: Builder) -> None:
    u = b.amplifier()
    b.say(f"{b.net} > {b.c()} > {b.r()} > {u}.inv > {b.r()} || {b.c()} > {u}.out", f"VB > {u}.non")
    b.net = f"{u}.out"


def mixer(b: Builder) -> None:
    u, other = b.amplifier(), b.place()
    b.say(f"{b.net} > {b.r()} > {u}.inv > {b.r()} > {u}.out", f"VB > {u}.non")
    b.say(f"{b.net} > {b.c()} > {other} > {b.r()} > {u}.inv", f"{other} > {b.r()} > gnd")
    b.net = f"{u}.out"


def multiple_feedback(b: Builder) -> None:
    u, middle = b.amplifier(), b.place()
    b.say(f"{b.net} > {b.r()} > {middle} > {b.r()} > {u}.inv", f"{middle} > {b.c()} > gnd", f"VB > {u}.non")
    b.say(f"{middle} > {b.r()} > {u}.out", f"{u}.inv > {b.c()} > {u}.out")
    b.net = f"{u}.out"


def sallen_key(b: Builder) -> None:
    u, middle = b.amplifier(), b.place()
    b.say(f"{b.net} > {b.r()} > {middle} > {b.r()} > {u}.non", f"{u}.non > {b.c()} > gnd")
    b.say(f"{middle} > {b.c()} > {u}.out > {u}.inv")
    b.net = f"{u}.out"


def clipping(b: Builder) -> None:
    u = b.amplifier()
    b.say(f"{b.net} > {b.c()} > {u}.non", f"VB > {b.r()} > {u}.non", f"{u}.inv > {b.r()} > {b.c()} > gnd")
    b.say(f"{u}.inv > {b.d()} > {b.d()} > {u}.out", f"{u}.out > {b.d()} > {u}.inv")
    gain = b.knob()
    b.say(f"{u}.inv > {b.r()} > {gain}.1", f"{gain}.2 > {gain}.3 > {u}.out")
    b.net = f"{u}.out"


def all_pass(b: Builder) -> None:
    u = b.amplifier()
    b.say(f"{b.net} > {b.r()} > {u}.inv > {b.r()} > {u}.out")
    b.say(f"{b.net} > {b.c()} > {u}.non > {b.r()} > VB")
    b.net = f"{u}.out"


def common_emitter(b: Builder) -> None:
    q = b.ref("Q")
    b.heads.append(f"part {q} {b.chance.choice(('npn 2N3904', 'npn BC547B'))}")
    b.say(f"{b.net} > {b.c()} > {q}.b", f"VA > {b.r()} > {q}.b > {b.r()} > gnd", f"VA > {b.r()} > {q}.c")
    b.say(f"{q}.e > {b.r()} || {b.c()} > gnd")
    b.net = f"{q}.c"


def emitter_follower(b: Builder) -> None:
    q = b.ref("Q")
    b.heads.append(f"part {q} npn 2N5088")
    b.say(f"{b.net} > {b.c()} > {q}.b > {b.r()} > VB", f"{q}.c > VA", f"{q}.e > {b.r()} > gnd")
    b.net = f"{q}.e"


def source_follower(b: Builder) -> None:
    q = b.ref("Q")
    b.heads.append(f"part {q} n-jfet J201")
    b.say(f"{b.net} > {b.c()} > {q}.g > {b.r()} > VB", f"{q}.d > VA", f"{q}.s > {b.r()} > gnd")
    b.net = f"{q}.s"


def volume(b: Builder) -> None:
    knob = b.knob()
    b.say(f"{b.net} > {knob}.3", f"{knob}.1 > gnd")
    b.net = f"{knob}.2"


def low_pass(b: Builder) -> None:
    end = b.place()
    b.say(f"{b.net} > {b.r()} > {end} > {b.c()} > gnd")
    b.net = end


def high_pass(b: Builder) -> None:
    end = b.place()
    b.say(f"{b.net} > {b.c()} > {end} > {b.r()} > gnd")
    b.net = end


def clipper(b: Builder) -> None:
    end = b.place()
    b.say(f"{b.net} > {b.c()} > {b.r()} > {end}", f"{end} > {b.d()} > gnd", f"gnd > {b.d()} > {end}")
    b.net = end


def tone(b: Builder) -> None:
    end, knob = b.place(), b.knob()
    b.say(f"{b.net} > {b.r()} > {end} > {b.c()} > {knob}.1", f"{knob}.2 > {knob}.3 > gnd")
    b.net = end


def twin_t(b: Builder) -> None:
    first, second, end = b.place(), b.place(), b.place()
    b.say(f"{b.net} > {b.r()} > {first} > {b.r()} > {end}", f"{first} > {b.c()} > gnd")
    b.say(f"{b.net} > {b.c()} > {second} > {b.c()} > {end}", f"{second} > {b.r()} > gnd")
    b.net = end


STAGES: tuple[Callable[[Builder], None], ...] = (
    follower,
    non_inverting,
    inverting,
    mixer,
    multiple_feedback,
    sallen_key,
    clipping,
    all_pass,
    common_emitter,
    emitter_follower,
    source_follower,
    volume,
    low_pass,
    high_pass,
    clipper,
    tone,
    twin_t,
)


def random_stages(seed: int) -> str:
    """The text of one circuit of three to ten stages; the same for the same seed."""
    chance = Random(seed)
    b = Builder(chance)
    for stage in chance.choices(STAGES, k=chance.randrange(3, 11)):
        stage(b)
    b.say(f"{b.net} > {b.c()} > OUT > {b.r()} > gnd")
    heads = ["pedal Wet Sunday", "supply VIN 9V battery", "input IN pickup", "output OUT 1M", *b.heads]
    power = [
        f"VIN > {b.ref('D')} 1N5817 > VA > {b.ref('C')} 100u (electrolytic, 16V) > gnd",
        f"VA > {b.ref('R')} 22k > VB > {b.ref('R')} 22k > gnd",
        f"VB > {b.ref('C')} 47u (electrolytic, 16V) > gnd",
    ]
    return "\n".join([*heads, *power, *b.lines]) + "\n"
