"""Small circuits whose supply side can be worked out on paper."""

from pedalwright import read_text
from pedalwright.analysis.memo import Analysis

TIGHT = "8.9999V..9.0001V"
"""a supply range so narrow that least and most differ by the chips alone"""
REGULATOR = f"""supply VIN 9V wall {TIGHT}
part U1 regulator 78L05 in=VIN out=V5
V5 > R1 166.6667 > gnd
VIN > C1 330n > gnd
V5 > C2 100n > gnd
"""
FOLLOWER = f"""supply V 9V wall {TIGHT}
part U1 opamp NE5534 v+=V v-=gnd
V > R1 10k > VB > R2 10k > gnd
VB > U1.non
U1.inv > U1.out > OUT
OUT > R3 1k > gnd
"""
BARE = """supply V 9V wall
part U1 dual-opamp TL072 v+=V v-=gnd
V > C1 100u (electrolytic, 16V) > gnd
V > R1 10k > VB > R2 10k > gnd
VB > U1a.non > U1b.non
U1a.inv > U1a.out
U1b.inv > U1b.out
"""
SERIES_DIODE = BARE.replace("supply V 9V wall\n", "supply VIN 9V wall\nVIN > D1 1N5817 > V\n")
SHUNT_DIODE = BARE.replace(
    "supply V 9V wall\n", "supply VIN 9V wall\nVIN > R9 100 > V\ngnd > D1 1N4001 > V\n"
)
FUSED = BARE.replace("supply V 9V wall\n", "supply VIN 9V wall\nVIN > F1 100mA > V\ngnd > D1 1N5817 > V\n")
CHIP = """supply VIN 9V wall
part U1 regulator 5V in=VIN out=V5
part U2 echo-chip supply=V5
U2.2 > C1 47u (electrolytic, 16V) > gnd
U2.6 > R1 10k > gnd
V5 > C2 47u (electrolytic, 10V) > gnd
VIN > C3 100u (electrolytic, 25V) > gnd
"""


def analysis(text: str) -> Analysis:
    """The circuit of a text, ready to be asked."""
    return read_text(text)
