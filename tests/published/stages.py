"""Textbook stages as lines of the notation, numbered so that they can be put behind one another.

A capacitor named cg or a resistor named rg goes to ground; cf and rf come from the output.
"""

HEADER = "supply VP 15V wall\nsupply VN -15V wall\ninput IN 1m 1V\n"


def circuit(*lines: str) -> str:
    """A text with supplies and a source at IN."""
    return HEADER + "\n".join(lines) + "\n"


def amplifier(n: int, options: str = "") -> str:
    return f"part U{n} opamp TL071 v+=VP v-=VN {options}".rstrip()


def follower(n: int, a: str, b: str) -> str:
    return f"{amplifier(n)}\n{a} > U{n}.non\nU{n}.inv > {b}\nU{n}.out > {b}"


def gain_from(n: int, b: str, gain: tuple[str, str] | None) -> str:
    """The output and the gain K = 1 + Rb/Ra of a non-inverting amplifier; None for unity."""
    if gain is None:
        return f"U{n}.out > {b}\nU{n}.inv > {b}"
    ra, rb = gain
    return f"U{n}.out > {b}\n{b} > R{n}8 {rb} > U{n}.inv > R{n}9 {ra} > gnd"


def sk_low_pass(
    n: int,
    a: str,
    b: str,
    r1: str,
    r2: str,
    cg: str,
    cf: str,
    gain: tuple[str, str] | None = None,
    options: str = "",
) -> str:
    return "\n".join(
        [
            amplifier(n, options),
            f"{a} > R{n}1 {r1} > X{n} > R{n}2 {r2} > U{n}.non > C{n}1 {cg} > gnd",
            f"X{n} > C{n}2 {cf} > {b}",
            gain_from(n, b, gain),
        ]
    )


def sk_high_pass(
    n: int, a: str, b: str, c1: str, c2: str, rg: str, rf: str, gain: tuple[str, str] | None = None
) -> str:
    return "\n".join(
        [
            amplifier(n),
            f"{a} > C{n}1 {c1} > X{n} > C{n}2 {c2} > U{n}.non > R{n}1 {rg} > gnd",
            f"X{n} > R{n}2 {rf} > {b}",
            gain_from(n, b, gain),
        ]
    )


def mfb_low_pass(
    n: int, a: str, b: str, r_in: str, r_out: str, r_inv: str, cs: str, ci: str, options: str = ""
) -> str:
    return "\n".join(
        [
            amplifier(n, options),
            f"{a} > R{n}1 {r_in} > X{n} > R{n}3 {r_inv} > U{n}.inv > C{n}2 {ci} > {b}",
            f"X{n} > R{n}2 {r_out} > {b}",
            f"X{n} > C{n}1 {cs} > gnd",
            f"U{n}.non > gnd\nU{n}.out > {b}",
        ]
    )


def mfb_high_pass(n: int, a: str, b: str, c: str, r_shunt: str, r_back: str) -> str:
    return "\n".join(
        [
            amplifier(n),
            f"{a} > C{n}1 {c} > X{n} > C{n}3 {c} > U{n}.inv > R{n}2 {r_back} > {b}",
            f"X{n} > C{n}2 {c} > {b}",
            f"X{n} > R{n}1 {r_shunt} > gnd",
            f"U{n}.non > gnd\nU{n}.out > {b}",
        ]
    )


def mfb_band_pass(
    n: int, a: str, b: str, r_in: str, r_shunt: str, r_back: str, c: str, options: str = ""
) -> str:
    return "\n".join(
        [
            amplifier(n, options),
            f"{a} > R{n}1 {r_in} > X{n} > C{n}2 {c} > U{n}.inv > R{n}3 {r_back} > {b}",
            f"X{n} > C{n}1 {c} > {b}",
            f"X{n} > R{n}2 {r_shunt} > gnd",
            f"U{n}.non > gnd\nU{n}.out > {b}",
        ]
    )


def rc_low_pass(n: int, a: str, b: str, r: str, c: str) -> str:
    return f"{a} > R{n}1 {r} > X{n} > C{n}1 {c} > gnd\n{follower(n, f'X{n}', b)}"


def cr_high_pass(n: int, a: str, b: str, c: str, r: str) -> str:
    return f"{a} > C{n}1 {c} > X{n} > R{n}1 {r} > gnd\n{follower(n, f'X{n}', b)}"
