"""Two echo chips one after the other, with one way back around both."""

from pedalwright.analysis.memo import Analysis
from pedalwright.notation.reading import read_text
from pedalwright.review.catalogue import rule_named
from pedalwright.review.reviewing import review

ROW = """pedal Two in a row
supply VIN 9V wall
input  IN pickup
output OUT 1M
part   U1 dual-opamp TL072 v+=VA v-=gnd
part   U2 echo-chip supply=V5
part   U3 echo-chip supply=V5
part   U4 regulator 5V in=VP out=V5 gnd=gnd
knob   TIME 50k linear at 5
knob   BACK 50k linear at 5
knob   MIX 50k linear at 5
VIN > D1 1N5817 > VP
VP > C1 100u (electrolytic, 16V) > gnd
VP > R1 100 > VA > C2 47u (electrolytic, 16V) > gnd
VP > C3 100n (ceramic) > gnd
V5 > C4 100u (electrolytic, 10V) > gnd
V5 > C5 100n (ceramic) > gnd
VA > R2 22k > VB > R3 22k > gnd
VB > C6 47u (electrolytic, 16V) > gnd
IN > R4 2M2 > gnd
IN > C7 22n (film) > U1a.non
U1a.non > R5 1M > VB
U1a.out > U1a.inv > DRY
DRY > C8 1u (electrolytic, 16V) > R6 33k > MA
MA > R7 10k > U2.16
MA > R8 22k > U2.15
MA > C9 4n7 (film) > gnd
U2.16 > C10 1n (film) > U2.15
U2.2 > C11 47u (electrolytic, 10V) > gnd
U2.7 > C12 100n (ceramic) > gnd
U2.8 > C13 100n (ceramic) > gnd
U2.9 > C14 100n (film) > U2.10
U2.12 > C15 100n (film) > U2.11
U2.6 > R9 2k2 > TIME.1
TIME.2 > TIME.3 > gnd
U2.12 > R10 10k > SA
SA > R11 10k > U2.13
SA > R12 10k > U2.14
SA > C16 4n7 (film) > gnd
U2.13 > C17 1n (film) > U2.14
U2.14 > R13 22k > MB
MB > R14 10k > U3.16
MB > R15 22k > U3.15
MB > C18 4n7 (film) > gnd
U3.16 > C19 1n (film) > U3.15
U3.2 > C20 47u (electrolytic, 10V) > gnd
U3.7 > C21 100n (ceramic) > gnd
U3.8 > C22 100n (ceramic) > gnd
U3.9 > C23 100n (film) > U3.10
U3.12 > C24 100n (film) > U3.11
U3.6 > R16 10k > gnd
U3.12 > R17 10k > SB
SB > R18 10k > U3.13
SB > R19 10k > U3.14
SB > C25 4n7 (film) > gnd
U3.13 > C26 1n (film) > U3.14
U3.14 > C27 1u (electrolytic, 16V) > ECHO
ECHO > BACK.3
BACK.1 > gnd
MA > C28 1u (electrolytic, 16V) > R20 22k > BACK.2
ECHO > MIX.3
DRY > C29 1u (electrolytic, 16V) > R23 10k > MIX.1
MIX.2 > C30 1u (film) > U1b.non
U1b.non > R21 1M > VB
U1b.out > U1b.inv
U1b.out > C31 10u (electrolytic, 16V) > OUT
OUT > R22 100k > gnd
"""


def test_the_way_back_is_cured_and_not_the_way_from_chip_to_chip() -> None:
    """A resistor between the chips takes as much from the first repeat as from the loop."""
    rule = rule_named("E15")
    assert rule is not None
    (found,) = review(Analysis(read_text(ROW), ROW), (rule,)).found
    assert [change.ref for change in found.finding.changes] == ["R20"]
    louder = ROW.replace("R20 22k", "R20 82k")
    assert not review(Analysis(read_text(louder), louder), (rule,)).found
