"""The verb `response`: exact answers on circuits whose answer is in every handbook, and clear refusals."""

import csv
import json
import math
from pathlib import Path

import numpy as np
import pytest
from scipy import signal

from pedalwright import read_text
from pedalwright.analysis.response_table import Asked, impedance_table, response_table
from tests.report.pages import assert_sound
from tests.report.schemas import documented_keys, keys_of

from .running import run

ROOT = Path(__file__).resolve().parents[2]
OHMS, FARADS = 4700.0, 33e-9
FILTER = f"""pedal Filter
input IN 100 1V
output OUT 1G
IN > R1 {OHMS:.0f} > OUT > C1 33n > gnd
"""
FOLLOWER = """pedal Follower
supply VA 9V wall
input IN 1k 1V
output OUT 10k
part U1 opamp TL071 v+=VA v-=gnd
VA > R1 100k > U1.non > R2 100k > gnd
IN > C1 1u > U1.non
U1.inv > U1.out > OUT
VA > R3 1k > SIDE > C3 1u > gnd
"""


@pytest.fixture
def circuit(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "filter.pedal"
    path.write_text(FILTER, encoding="utf-8")
    return path


def one_pole(frequency_hz: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Level and phase of 1/(1 + sRC) as SciPy has them."""
    _, level_db, phase_deg = signal.bode(([1.0], [OHMS * FARADS, 1.0]), 2 * np.pi * frequency_hz)
    return level_db, phase_deg


def test_level_and_phase_are_those_of_scipy() -> None:
    found = response_table(read_text(FILTER), asked=Asked(low_hz=10.0, high_hz=50e3, points=41))
    level_db, phase_deg = one_pole(found.frequency_hz)
    # The gigaohm of load costs 5 millionths.
    assert np.max(np.abs(found.level_db - level_db)) < 1e-4
    assert np.max(np.abs(found.phase_deg - phase_deg)) < 1e-3
    assert found.corners is not None and found.corners.low_hz is None
    # f = 1/(2 pi R C), Coughlin and Driscoll, Operational Amplifiers and Linear Integrated Circuits, ch. 11.
    assert found.corners.high_hz == pytest.approx(1 / (2 * math.pi * OHMS * FARADS), rel=1e-3)
    assert found.driven_by == "the signal at the input jack"


def test_the_input_impedance_is_without_the_source_and_the_output_impedance_without_the_load() -> None:
    circuit, asked = read_text(FILTER), Asked(low_hz=100.0, high_hz=10e3, points=11)
    s = 2j * np.pi * asked.frequencies()
    seen = impedance_table(circuit, "IN", asked)
    assert seen.impedance_ohms == pytest.approx(OHMS + 1 / (s * FARADS), rel=1e-4)
    assert seen.lifted == "the source at the input jack"
    behind = impedance_table(circuit, "OUT", asked)
    # Thevenin: the source's 100 ohm and R1 in series, beside the capacitor.
    assert behind.impedance_ohms == pytest.approx(1 / (1 / (OHMS + 100.0) + s * FARADS), rel=1e-4)
    assert behind.lifted == "the load at the output jack"


def test_a_net_may_be_named_by_a_pin() -> None:
    by_net = response_table(read_text(FILTER), to_net="OUT")
    by_pin = response_table(read_text(FILTER), from_net="R1.1", to_net="C1.1")
    assert np.array_equal(by_net.gain, by_pin.gain)


def test_from_a_supply_it_is_driven_there() -> None:
    found = response_table(read_text(FOLLOWER), from_net="VA", to_net="SIDE")
    corner = 1 / (2 * math.pi * 1e3 * 1e-6)
    wanted = 1 / (1 + 1j * found.frequency_hz / corner)
    assert found.gain == pytest.approx(wanted, rel=1e-6)
    assert found.driven_by.startswith("a signal on the supply at VA")


def test_where_the_jack_does_not_reach_a_current_is_injected() -> None:
    text = FOLLOWER.replace("VA > R3", "FAR > R9 1k > gnd\nFAR > R8 3k > BACK > R7 1k > gnd\nVA > R3")
    found = response_table(read_text(text), from_net="FAR", to_net="BACK")
    assert found.driven_by == "a current injected into FAR, for the jack's signal does not reach it"
    assert found.gain == pytest.approx(np.full(121, 0.25), rel=1e-9)


def test_what_an_amplifier_holds_is_driven_in_its_place() -> None:
    text = FOLLOWER.replace("IN > C1 1u > U1.non", "IN > C1 1u > gnd")
    found = response_table(read_text(text), from_net="OUT", to_net="OUT")
    assert "a source in the place of U1" in found.driven_by
    assert found.gain == pytest.approx(np.ones(121), rel=1e-12)


def test_other_ways_to_the_goal_are_mentioned() -> None:
    """The jack reaches C through R4 as well as through B: C over B is not what B does to C."""
    text = "input IN 100 1V\nIN > R1 1k > B > R2 1k > gnd\nB > R3 1k > C > R5 1k > gnd\nIN > R4 1k > C\n"
    found = response_table(read_text(text), from_net="B", to_net="C")
    # By hand: node equations in siemens/1000 give B = 5/8 IN... 3B = IN + C, 3C = IN + B, so B = C = IN/2.
    assert found.gain == pytest.approx(np.ones(121), rel=1e-9)
    # Driven at B alone, through R3 into R5 and R4 with the 100 ohm of the jack and R1 back to B.
    alone = _alone()
    assert [f"{20 * math.log10(alone):+.1f} dB" in note for note in found.notes] == [True]


def _alone() -> float:
    """C over B with a source at B, solved by NumPy: unknowns IN and C."""
    jack, k = 1 / 100.0, 1 / 1000.0
    matrix = np.array([[jack + k + k, -k], [-k, 3 * k]])
    return float(np.linalg.solve(matrix, np.array([k, k]))[1])


def test_on_the_output(circuit: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = run(capsys, "response", circuit)
    assert (status, err) == (0, "")
    assert "From IN to OUT" in out and "*" in out and "certified" in out
    assert "1.03 kHz" in out  # the corner, 1/(2 pi 4.7 kohm 33 nF) = 1026 Hz


def test_as_json(circuit: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run(
        capsys, "response", circuit, "--to", "OUT", "--impedance", "IN", "--json", "--points", 9, "--band", 40
    )
    data = json.loads(out)
    assert status == 0
    assert keys_of(data) == documented_keys(ROOT, "pedalwright.response/1")
    found = data["responses"][0]
    level_db, _ = one_pole(np.array(found["frequency_hz"]))
    assert found["level_db"] == pytest.approx(level_db.tolist(), abs=1e-3)
    assert data["impedances"][0]["reactance_ohms"][0] < 0


def test_as_a_table_and_a_page(circuit: Path, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = run(
        capsys,
        "response",
        circuit,
        "--csv",
        "a.csv",
        "--html",
        "a.html",
        "--points",
        7,
        "--between",
        "1kHz..2kHz",
    )
    assert (status, out) == (0, "")
    rows = list(csv.reader(Path("a.csv").read_text(encoding="utf-8").splitlines()))
    assert rows[0] == ["frequency_hz", "level_db IN to OUT", "phase_deg IN to OUT"]
    frequency_hz = np.array([float(row[0]) for row in rows[1:]])
    assert frequency_hz == pytest.approx(np.geomspace(1e3, 2e3, 7), rel=1e-8)
    assert [float(row[1]) for row in rows[1:]] == pytest.approx(one_pole(frequency_hz)[0].tolist(), abs=1e-3)
    assert len(assert_sound(Path("a.html").read_text(encoding="utf-8")).all("svg")) == 2


@pytest.mark.parametrize(
    ("arguments", "hint"),
    [
        (("--from", "out"), "did you mean OUT?"),
        (("--to", "R1"), "say which of its pins: R1.1, R1.2"),
        (("--to", "R1.9"), "R1 has no pin '9'"),
        (("--to", "[red]"), "There is no net '[red]'"),
        (("--between", "20"), "20Hz..20kHz"),
        (("--between", "2kHz..20Hz"), "from a lower to a higher"),
        (("--between", "1V..2V"), "frequency"),
        (("--points", "1"), "5 to 5001"),
        (("--points", "9999999"), "5 to 5001"),
        (("--from", "gnd"), "no gain from it"),
        (("--impedance", "gnd"), "measured against gnd"),
    ],
)
def test_questions_that_cannot_be_answered(
    circuit: Path, capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...], hint: str
) -> None:
    status, out, err = run(capsys, "response", circuit, *arguments)
    assert (status, out) == (2, "")
    assert hint in err and "Traceback" not in err


def test_without_jacks_the_nets_must_be_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "a.pedal"
    path.write_text("A > R1 1k > B > R2 1k > gnd\n", encoding="utf-8")
    status, _, err = run(capsys, "response", path)
    assert status == 2 and "--from NET" in err
    status, out, _ = run(capsys, "response", path, "--from", "A", "--to", "B")
    assert status == 0 and "-6.0 dB" in out


def test_silence_is_told_as_silence(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "a.pedal"
    path.write_text("input IN line\nIN > R1 1k > gnd\nA > R2 1k > gnd\n", encoding="utf-8")
    status, out, _ = run(capsys, "response", path, "--to", "A", "--json")
    found = json.loads(out)["responses"][0]
    assert status == 0
    assert set(found["level_db"]) == {None}
    assert found["notes"] == ["No signal from IN arrives at A."]


def test_what_is_not_certified_is_not_printed(
    circuit: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from pedalwright.solve import certificate

    monkeypatch.setattr(certificate, "RESIDUAL_BOUND", -1.0)
    status, out, err = run(capsys, "response", circuit)
    assert (status, out) == (1, "")
    assert "not printed" in err and "not certified" in err


def test_the_band_is_in_every_form(circuit: Path, capsys: pytest.CaptureFixture[str]) -> None:
    goals = ("--csv", "band.csv", "--html", "band.html")
    status, out, err = run(capsys, "response", circuit, "--points", 7, "--band", 200, *goals)
    assert (status, out, err) == (0, "", "")
    heads, *rows = csv.reader(Path("band.csv").read_text(encoding="utf-8").splitlines())
    assert heads[3:] == ["low_db IN to OUT", "median_db IN to OUT", "high_db IN to OUT"]
    for row in rows:
        level_db, _, low_db, median_db, high_db = map(float, row[1:])
        assert low_db <= median_db <= high_db and low_db - 1e-6 <= level_db <= high_db + 1e-6
    page = Path("band.html").read_text(encoding="utf-8")
    assert len(assert_sound(page).all("svg")) == 2
    assert "5 to 95 % of 200 builds, seed 5" in page and "all certified" in page
    status, out, _ = run(capsys, "response", circuit, "--points", 7, "--band")
    assert status == 0 and "5 % below" in out and "95 % below" in out and "400 builds (seed 5" in out


def test_a_band_that_is_refused_leaves_the_answer(
    circuit: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from pedalwright.analysis.response_band import bands

    monkeypatch.setattr(bands, "RESIDUAL_BOUND", -1.0)
    status, out, err = run(capsys, "response", circuit, "--points", 7, "--band", 30)
    assert status == 1
    assert "The band is not printed: only 0 of 30 builds could be certified" in err
    assert "From IN to OUT" in out and "95 % below" not in out


@pytest.mark.parametrize(
    ("arguments", "hint"),
    [
        (("--band", "5"), "20 to 20000 builds"),
        (("--band", "many"), "many"),
        (("--band", "--impedance", "IN"), "--band is of a response"),
    ],
)
def test_bands_that_cannot_be(
    circuit: Path, capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...], hint: str
) -> None:
    status, out, err = run(capsys, "response", circuit, *arguments)
    assert (status, out) == (2, "") and hint in err and "Traceback" not in err
