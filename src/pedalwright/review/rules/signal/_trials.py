"""A small healthy pedal around the stage a trial is about."""

SUPPLY = """
supply VA 9V wall
VA > C90 100u (electrolytic, 16V) > gnd
VA > R90 22k > VB > R91 22k > gnd
VB > C91 47u (electrolytic, 16V) > gnd
"""
FRONT = """
IN > R1 1M > gnd
IN > C1 22n (film) > U1a.non > R2 1M > VB
"""
BACK = """
U1b.out > C9 1u (film) > OUT > R9 100k > gnd
"""


def pedal(
    middle: str, *, chip: str = "TL072", source: str = "pickup", front: str = FRONT, back: str = BACK
) -> str:
    """A pedal with a dual amplifier: `front` leads to U1a, `middle` from there to U1b, `back` to the jack."""
    ports = f"input IN {source}\noutput OUT 1M\npart U1 dual-opamp {chip} v+=VA v-=gnd\n"
    return SUPPLY + ports + front + middle + back


FOLLOWERS = """
U1a.out > U1a.inv
U1a.out > U1b.non
U1b.out > U1b.inv
"""


def gain_of(feedback: str, shunt: str = "10k") -> str:
    """U1a as a non-inverting amplifier, U1b as a follower behind it."""
    return f"""
U1a.out > R3 {feedback} > U1a.inv > R4 {shunt} > C2 10u (electrolytic, 16V) > gnd
U1a.out > U1b.non
U1b.out > U1b.inv
"""
