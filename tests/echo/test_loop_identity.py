"""The cut loop against the same circuit with the delays inside its own equations.

Oracle: a delayed copy in the nodal matrix itself, solved directly at every frequency, without any cut. The
decoder's current y v is made of primitives: a controlled source for the resistor's part, and for the
capacitor's part two controlled sources with an inductance between them, L g1 g2 = C.
"""

from pathlib import Path

import numpy as np
import pytest

from pedalwright import circuits
from pedalwright.circuit.primitives import DelayedCopy, Inductance, Primitive, Transconductance
from pedalwright.echo.loop import closed_response
from pedalwright.solve.linear import linearise
from pedalwright.solve.response import Drive, respond
from pedalwright.solve.system import compile_system
from tests.echo.circuits import APPLICATION_DELAY, APPLICATION_ECHO, Bench, put_on_bench

FREQUENCY = np.geomspace(25.0, 15e3, 181)
ODD = Path(__file__).parents[1] / "circuits" / "odd"
HENRIES, FIRST = 1.0, 1e-3
DRAWN = {
    "the maker's echo": put_on_bench(APPLICATION_ECHO, REPEATS=8.0),
    "the maker's delay": put_on_bench(APPLICATION_DELAY),
    "unequal integrators": put_on_bench(APPLICATION_ECHO.replace("C4 82n", "C4 47n"), REPEATS=8.0),
    "lantern-echo": put_on_bench(circuits.text("lantern-echo"), REPEATS=9.0),
    "grainloft-reverb": put_on_bench(circuits.text("grainloft-reverb"), DECAY=9.0),
    "delays-in-series": put_on_bench(
        (ODD / "delays-in-series.pedal").read_text(encoding="utf-8"), REPEATS=9.0
    ),
    "transistor-echo": put_on_bench((ODD / "transistor-echo.pedal").read_text(encoding="utf-8"), REPEATS=9.0),
}


def inside(bench: Bench, gain: float) -> list[Primitive]:
    """Every chip's delay as primitives."""
    found: list[Primitive] = []
    small = bench.cut.small
    for tap, delay_s in zip(bench.cut.taps, bench.delays_s, strict=True):
        late, slope, name = f"{tap.ref}/late", f"{tap.ref}/slope", tap.ref
        siemens = sum(1 / small.parameter(one) for one in tap.resistances)
        farads = sum(small.parameter(one) for one in tap.capacitances)
        found += [
            DelayedCopy(
                owner=name,
                name=f"{name}/delay",
                input=tap.sound,
                output=late,
                reference=tap.reference,
                delay_s=float(delay_s),
                gain=gain,
            ),
            source(f"{name}/steps", tap.decoder, "gnd", late, tap.reference, siemens),
            source(f"{name}/rise", "gnd", slope, late, tap.reference, FIRST),
            Inductance(owner=name, name=f"{name}/henries", a=slope, b="gnd", henries=HENRIES),
            source(f"{name}/change", tap.decoder, "gnd", slope, "gnd", farads / (HENRIES * FIRST)),
        ]
    return found


def source(name: str, a: str, b: str, plus: str, minus: str, siemens: float) -> Primitive:
    return Transconductance(
        owner=name, name=name, a=a, b=b, control_plus=plus, control_minus=minus, siemens=siemens
    )


@pytest.mark.parametrize("name", list(DRAWN))
def test_closed_response_is_that_of_the_whole_circuit(name: str) -> None:
    bench = DRAWN[name]
    rest, circuit = bench.analysis.rest, bench.analysis.circuit
    assert circuit.input is not None and circuit.output is not None
    loop = bench.loop(-0.5, FREQUENCY)
    assert loop.certificate.ok
    whole = compile_system([*bench.analysis.primitives, *inside(bench, float(loop.gains[0]))])
    volts = dict(rest.voltages)
    small = linearise(whole, volts)
    # The comparison is the check: the certificate of the response asks for more than it needs.
    closed = respond(small, Drive(source="input"), FREQUENCY).x[:, small.row(circuit.output.net)]
    still = respond(small, Drive(source="input"), FREQUENCY, open_delays=True)
    wanted = closed / still.x[:, small.row(circuit.input.net)]
    found = closed_response(loop)
    assert np.abs(found - wanted).max() <= 1e-12 * np.abs(wanted).max()


def test_the_repeats_add_up_to_the_closed_response() -> None:
    """The geometric series: each repeat with its own delay, summed until nothing is left."""
    from pedalwright.echo.repeats import repeats

    for bench in (DRAWN["the maker's echo"], DRAWN["grainloft-reverb"]):
        loop = bench.loop(-0.5, FREQUENCY)
        total = loop.h0.copy()
        for one in repeats(loop, 2000):
            total = total + one.spectrum * np.exp(-loop.s * one.time_s)
        wanted = closed_response(loop)
        assert np.abs(total - wanted).max() <= 1e-7 * np.abs(wanted).max()
