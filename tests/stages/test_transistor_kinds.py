"""Transistor stages against handbook examples; the handbooks' base-emitter voltage is 0.7 V."""

import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.notation import read_text
from pedalwright.stages import transistor_rest
from pedalwright.stages.transistor_words import read, transistor_numbers

from .transistor_texts import by_name, purpose_of, stage_in

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


@pytest.fixture
def _book_junction(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(transistor_rest, "SILICON_V", 0.7)


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
    assert "fully on" in purpose_of(stage, analysis.bench)
