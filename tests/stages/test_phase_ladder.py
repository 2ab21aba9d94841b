"""Oscillators with a ladder of three sections, against handbooks and SciPy."""

import numpy as np
import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.formulas.oscillator import loaded_high_pass_sections, three_high_pass_sections
from pedalwright.notation import read_text
from pedalwright.stages.bench import Bench
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.nets import classify
from pedalwright.stages.phase_ladder import ladder_of, oscillator_network, own_balance
from pedalwright.stages.recognise import bench_for
from pedalwright.stages.transistor_cluster import clusters
from pedalwright.stages.view import View

from .transistor_equations import solved, transport

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
        ic, ib = transport(b, b - c)
        return [((c - b) / 1e6 - ib) * 1e6, ((9 - c) / 10e3 - ic - (c - b) / 1e6 - c / 20e6) * 1e6]

    wanted = solved(residual, [0.6, 3.0])
    rest = Analysis(read_text(text)).rest
    assert [rest.volts("~Q1.b"), rest.volts("~Q1.c")] == pytest.approx(list(wanted), abs=1e-6)
