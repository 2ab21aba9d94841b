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


COLLECTOR = """
supply VA {volts} wall
input IN pickup
output OUT 1M
part Q1 npn 2N3904
VA > R3 10k > Q1.c
VA > R4 470k > Q1.b > R5 100k > gnd
Q1.e > R6 1k > gnd
IN > C1 100n (film) > Q1.b
Q1.c > C2 1u (film) > OUT
"""
"""a transistor whose collector, 10 kohm strong, stands behind the output capacitor"""
