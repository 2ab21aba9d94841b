"""A small echo of one chip, the trials of this folder's rules change one line of it."""

ECHO = """
supply V5 5V wall 4.9V..5.1V
input IN buffered
output OUT 1M
part U1 echo-chip supply=V5
knob TIME 50k linear at 5
V5 > C1 100u (electrolytic, 10V) > gnd
V5 > C2 100n (ceramic) > gnd
U1.2 > C3 47u (electrolytic, 10V) > gnd
U1.8 > C4 100n (ceramic) > gnd
U1.7 > C5 100n (ceramic) > gnd
U1.9 > C6 100n (film) > U1.10
U1.12 > C7 100n (film) > U1.11
U1.6 > R1 2k2 > TIME.1
TIME.2 > TIME.3 > gnd
IN > C8 1u (film) > R2 22k > MIX
MIX > R3 10k > U1.16
MIX > R4 22k > U1.15
MIX > C9 3n3 (film) > gnd
U1.16 > C10 560p (film) > U1.15
U1.12 > R5 10k > STEPS
STEPS > R6 10k > U1.13
STEPS > R7 10k > U1.14
STEPS > C11 4n7 (film) > gnd
U1.13 > C12 1n (film) > U1.14
U1.14 > R8 4k7 > WET > C13 10n (film) > gnd
WET > C14 1u (film) > OUT
OUT > R9 100k > gnd
"""
REPEATING = f"""{ECHO}
knob REPEATS 50k linear at 5
WET > C15 1u (film) > REPEATS.3
REPEATS.1 > gnd
REPEATS.2 > R10 33k > C16 1u (film) > MIX
"""
"""the same with a way back; it never runs away"""

STOPPER = "U1.6 > R1 2k2 > TIME.1\nTIME.2 > TIME.3 > gnd"
STARTED = """
part Q1 npn 2N3904
U1.6 > R1 100 > Q1.c
Q1.e > gnd
V5 > R21 100k > Q1.b
Q1.b > C21 10u (electrolytic, 16V) > gnd
Q1.b > D1 1N4148 > V5
Q1.c > R22 4k7 > gnd
"""
"""a start-up transistor in place of knob and stopper"""


def echo(*changes: tuple[str, str], base: str = ECHO) -> str:
    """The small echo with pieces of its text replaced; each must be there."""
    for old, new in changes:
        if old not in base:
            raise ValueError(f"'{old}' is not in the text")
        base = base.replace(old, new)
    return base


def fixed(timing: str, base: str = ECHO) -> str:
    """The small echo with something else at pin 6 in place of knob and stopper."""
    return echo((STOPPER, timing), ("knob TIME 50k linear at 5\n", ""), base=base)


def without(*starts: str, base: str = ECHO) -> str:
    """The small echo without the lines that begin so."""
    lines = base.splitlines(keepends=True)
    for start in starts:
        if not any(line.startswith(start) for line in lines):
            raise ValueError(f"no line begins with '{start}'")
    return "".join(line for line in lines if not line.startswith(starts))
