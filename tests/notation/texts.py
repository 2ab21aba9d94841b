"""Circuit texts the tests share, and a view of a circuit without its places in the text."""

from dataclasses import replace
from typing import TypeVar

from pedalwright.circuit.circuit import Circuit
from pedalwright.circuit.part import Part
from pedalwright.circuit.ports import Acceptance, Section, Supply, TestPoint, Want
from pedalwright.circuit.span import Span

NOWHERE = Span(0, 0, 0)
Thing = TypeVar("Thing", Part, Supply, Section, Want, TestPoint, Acceptance)

LANTERN = """\
pedal    Lantern Echo
about    Dark repeats from 40 ms to 600 ms.   # two lines
about    The song in A# minor.

supply   VIN 9V wall 8V..9.6V
input    IN  pickup
output   OUT 1M

part     U1 dual-opamp TL072  v+=VA v-=gnd
part     U2 echo-chip         supply=V5
part     U3 regulator 5V      in=VA out=V5 gnd=gnd
knob     TIME 50k linear      at 5
knob     REPEATS 50k linear
trim     BIAS 10k audio       at 2.5
switch   MODE short long      at long
switch   TRUE on off          poles=2

section  Power
VIN > D1 1N5817 > R1 33 > VA > C1 100u (electrolytic, 16V) > gnd
VA > R2 10k > VB > R3 10k > gnd
VB > C2 47u > gnd    # half the supply

section  Input stage
IN > R4 1M > gnd
IN > C3 47n > R5 220k > U1a.inv
U1a.inv > R6 470k || C4 22p > U1a.out
VB > U1a.non
U1a.out > C5 1u > TRUEa.on
TRUEa.common > OUT
IN > TRUEb.off

section  Time
U2.6 > R18 2k2 > TIME.3
TIME.2 > TIME.1 > gnd
V5 > D2 red (led) > R7 4k7 > gnd
VA > D3 5V1 (zener) > REPEATS.1
REPEATS.3 > REPEATS.2 > BIAS.2 > BIAS.1 > MODE.long

want     delay.min < 60ms
want     dry.gain = 0dB +- 1dB
want     delay.max 400ms..600ms
point    VB half the supply
"""

BOOSTER = """\
pedal  Plain booster
supply VIN 9V battery 7V..9.6V
input  IN 10k 1V
output OUT 100k
part   Q1 npn 2N3904 b=B e=E
VIN > R1 10k > Q1.c > C2 1u > OUT
IN > C1 100n > B
VIN > R2 470k > B > R3 100k > gnd
E > R4 1k || C3 10u > gnd
"""

TEXTS = (LANTERN, BOOSTER)


def without_places(circuit: Circuit) -> Circuit:
    """The circuit as if every thing had been written at the same place, without cautions."""

    def moved(things: tuple[Thing, ...]) -> tuple[Thing, ...]:
        return tuple(replace(thing, span=NOWHERE) for thing in things)

    return replace(
        circuit,
        parts=moved(circuit.parts),
        supplies=moved(circuit.supplies),
        input=circuit.input and replace(circuit.input, span=NOWHERE),
        output=circuit.output and replace(circuit.output, span=NOWHERE),
        sections=moved(circuit.sections),
        wants=moved(circuit.wants),
        points=moved(circuit.points),
        accepts=moved(circuit.accepts),
        cautions=(),
    )
