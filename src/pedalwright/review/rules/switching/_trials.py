"""A small pedal whose jacks a trial is about."""

SUPPLY = """
supply VA 9V wall
input IN pickup
output OUT 1M
VA > C90 100u (electrolytic, 16V) > gnd
VA > R90 22k > VB > R91 22k > gnd
VB > C91 47u (electrolytic, 16V) > gnd
part U1 opamp TL071 v+=VA v-=gnd
"""
PULLED_IN = "IN > R1 1M > gnd\n"
PULLED_OUT = "OUT > R9 10k > gnd\n"
BETWEEN = """
IN > C1 22n (film) > U1.non > R2 1M > VB
U1.out > U1.inv
U1.out > C9 {capacitor} > OUT
"""
FILM, LEAKY = "1u (film)", "10u (electrolytic, 16V)"


def pedal(*extra: str, capacitor: str = FILM) -> str:
    """A follower between its jacks, with these lines more."""
    return SUPPLY + BETWEEN.format(capacitor=capacitor) + "".join(extra)
