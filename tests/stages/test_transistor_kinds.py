"""Transistor stages against handbook examples, SymPy and SciPy; the handbooks' base-emitter voltage is
0.7 V.
"""

from collections.abc import Callable

import numpy as np
import pytest
from scipy.optimize import least_squares

from pedalwright.analysis.memo import Analysis
from pedalwright.formulas.oscillator import loaded_high_pass_sections, three_high_pass_sections
from pedalwright.notation import read_text
from pedalwright.stages import transistor_rest
from pedalwright.stages.bench import Bench
from pedalwright.stages.channel_resistor import channel_numbers, channel_transfer, find_channel_resistors
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.nets import classify
from pedalwright.stages.phase_ladder import ladder_of, oscillator_network, own_balance
from pedalwright.stages.recognise import bench_for, recognise
from pedalwright.stages.stage import Number, Stage
from pedalwright.stages.transistor_cluster import clusters
from pedalwright.stages.transistor_gyrator import find_transistors, transistor_gyrator_numbers
from pedalwright.stages.transistor_shape import network_around
from pedalwright.stages.transistor_words import read, transistor_numbers
from pedalwright.stages.view import View

DIVIDER_STAGE = """pedal Divider bias
supply V {supply}V wall
input IN line
output OUT 10M
part Q1 npn 2N3904 beta={beta}
IN > C1 10u > Q1.b
V > R1 {upper} > Q1.b > R2 {lower} > gnd
V > R3 {collector} > Q1.c
Q1.e > R4 {emitter} {bypass}> gnd
Q1.c > C3 10u > OUT
"""
FIXED_STAGE = """pedal Fixed bias
supply V {supply}V wall
input IN line
output OUT 10M
part Q1 npn 2N3904 beta={beta}
IN > C1 10u > Q1.b
V > R1 {base} > Q1.b
V > R3 {collector} > Q1.c
Q1.e > {emitter}gnd
Q1.c > C3 10u > OUT
"""
FUZZ_PAIR = """pedal Pair
supply V 9V wall
input IN line
output OUT 1M
part Q1 npn 2N3904
part Q2 npn 2N3904
IN > C1 2u2 > Q1.b
V > R1 33k > Q1.c
Q1.e > gnd
Q1.c > Q2.b
V > R2 470 > TAP > R3 8k2 > Q2.c
Q2.e > R5 1k || C2 22u > gnd
Q2.e > R4 100k > Q1.b
TAP > C3 10n > OUT
"""


@pytest.fixture
def _book_junction(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(transistor_rest, "SILICON_V", 0.7)


def stage_in(text: str, ref: str = "Q1") -> tuple[Stage, Bench]:
    """The stage of one transistor on a bench without a solved circuit: values alone."""
    bench = bench_for(read_text(text))
    return next(stage for stage in recognise(bench).stages if ref in stage.refs), bench


def by_name(numbers: tuple[Number, ...]) -> dict[str, Number]:
    return {number.name: number for number in numbers}


@pytest.mark.usefixtures("_book_junction")
def test_a_divider_with_a_counted_base_current() -> None:
    """Malvino and Bates, Electronic Principles, example 8-3, solved exactly."""
    text = DIVIDER_STAGE.format(
        supply=10, beta=200, upper="10k", lower="2k2", collector="3k6", emitter="1k", bypass=""
    )
    stage, bench = stage_in(text)
    found = by_name(transistor_numbers(stage, bench))
    assert found["collector voltage at rest"].closed == pytest.approx(6.083098, abs=1e-6)
    assert found["emitter voltage at rest"].closed == pytest.approx(1.0934686, abs=1e-6)


@pytest.mark.usefixtures("_book_junction")
def test_a_bypassed_stage_at_rest_and_its_gain() -> None:
    """Boylestad and Nashelsky, example 5.2: printed re 18.44 to 18.48 ohm and gain -367.9, with the currents
    exact here.
    """
    text = DIVIDER_STAGE.format(
        supply=22, beta=90, upper="56k", lower="8k2", collector="6k8", emitter="1k5", bypass="|| C2 1 "
    ).replace("C2 1 ", "C2 10000u ")
    stage, bench = stage_in(text)
    found = by_name(transistor_numbers(stage, bench))
    assert found["collector current at rest"].closed == pytest.approx(1.321919e-3, rel=1e-6)
    assert found["emitter voltage at rest"].closed == pytest.approx(2.004911, abs=1e-6)
    assert found["collector voltage at rest"].closed == pytest.approx(13.010949, abs=1e-6)
    # The book neglects the base current on the way to IE, hence the five per cent.
    assert found["emitter's own resistance"].closed == pytest.approx(18.44, rel=0.06)
    assert found["mid-band gain"].closed == pytest.approx(-367.9, rel=0.06)


@pytest.mark.usefixtures("_book_junction")
def test_fixed_bias() -> None:
    """Boylestad and Nashelsky, example 4.1: IC 2.35 mA, VCE 6.83 V."""
    stage, bench = stage_in(FIXED_STAGE.format(supply=12, beta=50, base="240k", collector="2k2", emitter=""))
    found = by_name(transistor_numbers(stage, bench))
    assert found["collector current at rest"].closed == pytest.approx(2.354167e-3, rel=1e-6)
    assert found["collector voltage at rest"].closed == pytest.approx(6.820833, abs=1e-6)


@pytest.mark.usefixtures("_book_junction")
def test_gain_and_input_resistance_of_a_grounded_emitter() -> None:
    """Boylestad and Nashelsky, example 5.1: re 10.71 ohm, Zi about 1.07 kohm, Av -280.11 (exactly
    -280.188).
    """
    stage, bench = stage_in(FIXED_STAGE.format(supply=12, beta=100, base="470k", collector="3k", emitter=""))
    found = by_name(transistor_numbers(stage, bench))
    assert found["emitter's own resistance"].closed == pytest.approx(10.70709, rel=1e-6)
    assert found["mid-band gain"].closed == pytest.approx(-280.188, rel=1e-5)
    assert found["input resistance"].closed == pytest.approx(1070.709, rel=1e-5)


@pytest.mark.usefixtures("_book_junction")
def test_gain_with_an_emitter_resistor_left() -> None:
    """Boylestad and Nashelsky, example 5.3: re 5.99 ohm, Av -3.89."""
    stage, bench = stage_in(
        FIXED_STAGE.format(supply=20, beta=120, base="470k", collector="2k2", emitter="R4 560 > ")
    )
    found = by_name(transistor_numbers(stage, bench))
    assert found["emitter's own resistance"].closed == pytest.approx(5.99, abs=0.005)
    assert found["mid-band gain"].closed == pytest.approx(-3.89, abs=0.005)


@pytest.mark.parametrize(
    ("supply", "idss", "pinch_off", "drain", "source", "gate", "current_ma", "drain_v"),
    [
        (20, "8mA", 6, "3k3", "1k", "G > R1 1M > gnd", 2.587624, 11.46084),
        (16, "8mA", 4, "2k4", "1k5", "V > R1 2M1 > G > R5 270k > gnd", 2.416309, 16 - 2.4 * 2.416309),
        (12, "12mA", 6, "1k5", "680", "G > R1 1M > gnd", 3.835265, 12 - 1.5 * 3.835265),
    ],
    ids=["7.2", "7.5", "7.6 with the gate at ground"],
)
def test_junction_transistors_at_rest(
    supply: int,
    idss: str,
    pinch_off: int,
    drain: str,
    source: str,
    gate: str,
    current_ma: float,
    drain_v: float,
) -> None:
    """Boylestad and Nashelsky, examples 7.2, 7.5 and 7.6, which the book solves by drawing, solved
    exactly.
    """
    text = f"""pedal Self bias
supply V {supply}V wall
input IN line
output OUT 10M
part Q1 n-jfet 2N5457 d=D g=G s=S idss={idss} vp=-{pinch_off}V modulation=0
IN > C1 100n > G
{gate}
V > R3 {drain} > D
S > R4 {source} > gnd
D > C3 1u > OUT
"""
    analysis = Analysis(read_text(text))
    stage = next(stage for stage in analysis.stages.stages if "Q1" in stage.refs)
    assert stage.kind == "common-source-amplifier"
    found = by_name(transistor_numbers(stage, analysis.bench))
    current, volts = found["drain current at rest"], found["drain voltage at rest"]
    assert current.closed == pytest.approx(current_ma * 1e-3, rel=1e-6)
    assert current.full == pytest.approx(current_ma * 1e-3, rel=1e-4)
    assert volts.closed == pytest.approx(drain_v, abs=1e-5)
    assert volts.full == pytest.approx(drain_v, abs=1e-3)


def test_gain_of_a_junction_transistor() -> None:
    """gm 1.51661 mS of Boylestad and Nashelsky, example 7.2, gives -gm RD when the source is bypassed."""
    text = """pedal Self bias
supply V 20V wall
input IN line
output OUT 10M
part Q1 n-jfet 2N5457 idss=8mA vp=-6V modulation=0
IN > C1 100n > Q1.g > R1 1M > gnd
V > R3 3k3 > Q1.d
Q1.s > R4 1k || C2 10000u > gnd
Q1.d > C3 1u > OUT
"""
    stage, bench = stage_in(text)
    gain = by_name(transistor_numbers(stage, bench))["mid-band gain"].closed
    assert gain == pytest.approx(-1.51661e-3 * 3300, rel=1e-4)


def _junction(volts: float, saturation_a: float, emission: float = 1.0) -> float:
    """Shockley's law at 300.15 K, k/q of the SI."""
    return saturation_a * np.expm1(volts / (emission * 1.380649e-23 * 300.15 / 1.602176634e-19))


def _transport(vbe: float, vbc: float) -> tuple[float, float]:
    """Collector and base current of the 2N3904 card, transport model with Early effect (Gummel and Poon,
    simplified).
    """
    forward, reverse = _junction(vbe, 6.734e-15), _junction(vbc, 6.734e-15)
    base = forward / 416.4 + _junction(vbe, 6.734e-15, 1.259) + reverse / 0.7371
    return (forward - reverse) * (1 - vbc / 74.03) - reverse / 0.7371, base


def solved(residual: Callable[[np.ndarray], list[float]], start: list[float]) -> list[float]:
    """The root of some current equations in microamperes; it must be one to a millionth of a microampere."""
    found = least_squares(residual, start, xtol=1e-15, ftol=1e-15, gtol=1e-15, x_scale="jac")
    assert np.abs(found.fun).max() < 1e-6
    return list(found.x)


def test_the_pair_rests_where_an_independent_solution_says() -> None:
    """Kirchhoff's equations of the two-transistor fuzz, written out by hand and solved by SciPy."""

    def residual(x: np.ndarray) -> list[float]:
        b1, c1, e2, tap, c2 = x
        ic1, ib1 = _transport(b1, b1 - c1)
        ic2, ib2 = _transport(c1 - e2, c1 - c2)
        return [
            ((e2 - b1) / 100e3 - ib1) * 1e6,
            ((9 - c1) / 33e3 - ic1 - ib2) * 1e6,
            (ic2 + ib2 - e2 / 1e3 - (e2 - b1) / 100e3) * 1e6,
            ((9 - tap) / 470 - (tap - c2) / 8.2e3) * 1e6,
            ((tap - c2) / 8.2e3 - ic2) * 1e6,
        ]

    wanted = solved(residual, [0.6, 1.3, 0.7, 8.6, 4.0])
    rest = Analysis(read_text(FUZZ_PAIR)).rest
    found = [rest.volts(net) for net in ("~Q1.b", "~Q1.c", "~Q2.e", "TAP", "~Q2.c") if net in rest.voltages]
    assert len(found) == 5
    assert found == pytest.approx(list(wanted), abs=1e-6)


def test_the_first_of_the_pair_by_hand() -> None:
    """Two junctions up, by Kirchhoff's laws: within the tenth of a volt that 0.65 V per junction leaves
    open.
    """
    analysis = Analysis(read_text(FUZZ_PAIR))
    stage = next(stage for stage in analysis.stages.stages if "Q1" in stage.refs)
    number = by_name(transistor_numbers(stage, analysis.bench))["collector voltage at rest"]
    assert number.closed == pytest.approx(number.full, abs=0.15)
    second = next(stage for stage in analysis.stages.stages if "Q2" in stage.refs)
    assert second.with_role("bias feedback resistor") == ("R4",)
    assert "leads this emitter's voltage back" in _purpose(second, analysis.bench)


def _purpose(stage: Stage, bench: Bench) -> str:
    from pedalwright.stages.recognise import kind_named

    return kind_named(stage.kind).purpose(stage, bench)


LADDER = """pedal Ladder
supply V 9V wall
output OUT 10M
part Q1 npn 2N3904
V > R1 {load} > Q1.c
Q1.e > gnd
Q1.c > C1 10n > A > C2 10n > B > C3 10n > Q1.b
A > R2 {each} > gnd
B > R3 {each} > gnd
Q1.b > R4 {each} > gnd
Q1.c > R9 10M > OUT
"""


@pytest.mark.parametrize(
    ("load", "each", "ratio"), [("10k", 10e3, 1.0), ("1", 100e3, 1e-5), ("22k", 10e3, 2.2)]
)
def test_the_ladder_swings_where_the_book_says(load: str, each: float, ratio: float) -> None:
    """Boylestad and Nashelsky, section 14.6 (frequency) with an ideal transistor; with no load, Floyd, ch.
    16: 29 times.
    """
    circuit = read_text(LADDER.format(load=load, each=f"{each:.0f}").replace("R1 1 ", "R1 1R "))
    view = View(circuit)
    bench = Bench(view, classify(view), given={"Q1/gm": 0.05})
    claimed = Claimed(bench, frozenset())
    network = oscillator_network(claimed, clusters(view, bench.classes)[0])
    assert network is not None
    balance = own_balance(bench, network)
    driver = each * ratio
    book = loaded_high_pass_sections(each, 10e-9, driver_ohms=driver)
    assert balance is not None
    assert balance.frequency_hz == pytest.approx(book.frequency_hz, rel=1e-6)
    assert balance.gain_in_hand == pytest.approx(0.05 * driver / -book.needed_gain, rel=1e-6)
    if ratio < 1e-3:
        assert balance.frequency_hz == pytest.approx(
            three_high_pass_sections(each, 10e-9).frequency_hz, rel=1e-4
        )


def test_two_sections_are_no_ladder() -> None:
    """Two sections never turn the phase by half a turn (textbook)."""
    text = (
        LADDER.format(load="10k", each="10k")
        .replace(" > B > C3 10n > Q1.b", " > Q1.b")
        .replace("B > R3 10k > gnd\n", "")
    )
    bench = bench_for(read_text(text))
    cluster = clusters(bench.view, bench.classes)[0]
    assert ladder_of(Claimed(bench, frozenset()), cluster.top, cluster.control) is None


def test_the_oscillator_rests_where_an_independent_solution_says() -> None:
    """The rest point of a self-biased oscillator: two equations, solved by SciPy."""
    text = LADDER.format(load="10k", each="10k").replace("Q1.b > R4 10k > gnd", "Q1.b > R4 1M > Q1.c")

    def residual(x: np.ndarray) -> list[float]:
        b, c = x
        ic, ib = _transport(b, b - c)
        return [((c - b) / 1e6 - ib) * 1e6, ((9 - c) / 10e3 - ic - (c - b) / 1e6 - c / 20e6) * 1e6]

    wanted = solved(residual, [0.6, 3.0])
    rest = Analysis(read_text(text)).rest
    assert [rest.volts("~Q1.b"), rest.volts("~Q1.c")] == pytest.approx(list(wanted), abs=1e-6)


def test_a_channel_is_a_resistor_of_the_square_law() -> None:
    """r = |Vp| / (2 IDSS (1 - VGS/Vp)): 4 V / (2 * 8 mA * 0.5) = 500 ohm at half the pinch-off voltage."""
    text = """pedal Channel
supply V 9V wall
input IN line
output OUT 1M
part Q1 n-jfet 2N5457 idss=8mA vp=-4V modulation=0
IN > C3 10u > R1 10k > MID
Q1.d > MID
Q1.s > UP
V > R2 35k > UP > R3 10k > gnd
UP > C1 1000u > gnd
Q1.g > gnd
MID > C2 10u > OUT
"""
    analysis = Analysis(read_text(text))
    bench = Bench(analysis.view, analysis.bench.classes, analysis.bench.rest, analysis.small)
    proposals = list(find_channel_resistors(Claimed(bench, frozenset())))
    assert [proposal.refs for proposal in proposals] == [frozenset({"Q1"})]
    stage = _staged(proposals[0])
    number = by_name(channel_numbers(stage, bench))["channel resistance"]
    assert number.closed == pytest.approx(500.0, rel=2e-3)
    assert number.full == pytest.approx(number.closed, rel=1e-3)
    transfer = channel_transfer(stage, bench)
    assert transfer is not None
    assert transfer.members == {"Q1/go"}


def test_a_transistor_coil() -> None:
    """1 kohm, 100 kohm and 10 nF: L = (R - RL) RL C = 0.99 H (textbook, series expansion)."""
    text = """pedal Coil
supply V 9V wall
input IN line
output OUT 100k
part Q1 npn 2N5088
V > R1 47k > VB > R2 47k > gnd
VB > C1 47u > gnd
IN > C2 1u > R3 10k > OUT
OUT > C3 47n > LINE
LINE > R4 1k > Q1.e
LINE > C4 10n > Q1.b
Q1.b > R5 100k > VB
Q1.c > V
Q1.e > R6 10k > gnd
"""
    bench = bench_for(read_text(text))
    proposals = list(find_transistors(Claimed(bench, frozenset())))
    assert [proposal.refs for proposal in proposals] == [frozenset({"Q1", "R4", "C4", "R5", "R6"})]
    found = by_name(transistor_gyrator_numbers(_staged(proposals[0]), bench))
    assert found["inductance"].closed == pytest.approx(0.99)


def _staged(proposal: object) -> Stage:
    return Stage(
        name="S1",
        kind=proposal.kind,  # type: ignore[attr-defined]
        roles=proposal.roles,  # type: ignore[attr-defined]
        inputs=proposal.inputs,  # type: ignore[attr-defined]
        output=proposal.output,  # type: ignore[attr-defined]
        branches=proposal.branches,  # type: ignore[attr-defined]
        nets=proposal.nets,  # type: ignore[attr-defined]
    )


def test_a_stage_that_stands_fully_on_has_no_textbook_gain() -> None:
    """A base fed straight from the supply: the figures by hand do not hold, so none is printed."""
    text = FIXED_STAGE.format(supply=9, beta=200, base="100k", collector="10k", emitter="")
    analysis = Analysis(read_text(text))
    stage = next(stage for stage in analysis.stages.stages if "Q1" in stage.refs)
    reading = read(stage, analysis.bench)
    assert reading.fully_on
    assert reading.gain is None
    found = by_name(transistor_numbers(stage, analysis.bench))
    assert found["collector voltage at rest"].closed is None
    assert "fully on" in _purpose(stage, analysis.bench)


def test_a_network_is_found_whatever_the_designators() -> None:
    """Renaming nets and parts changes nothing but the names."""
    plain, other = (
        bench_for(read_text(text))
        for text in (FUZZ_PAIR, FUZZ_PAIR.replace("TAP", "AAA").replace("R4", "R40"))
    )
    shapes = []
    for bench in (plain, other):
        networks = [network_around(bench, cluster) for cluster in clusters(bench.view, bench.classes)]
        shapes.append(
            [(len(item.leaves), len(item.inputs), sorted(item.places.values())) for item in networks]
        )
    assert shapes[0] == shapes[1]
