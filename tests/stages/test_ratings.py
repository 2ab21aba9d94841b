"""Rated voltages and plus ends; the voltages across the parts are Ohm's law on the text's resistors."""

import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.walk import walk
from pedalwright.notation import read_text
from pedalwright.stages.ratings import rating_findings, rating_says, standard_rating, strain_on
from tests.stages.golden import package_circuits

DIVIDER = """pedal Divider
supply VIN {supply} wall
VIN > R1 10k > VB > R2 10k > gnd
{walk}
"""


def bench_of(walk_line: str, supply: str = "18V"):  # type: ignore[no-untyped-def]
    return Analysis(read_text(DIVIDER.format(supply=supply, walk=walk_line))).bench


@pytest.mark.parametrize(
    ("walk_line", "says"),
    [
        ("VIN > C1 100u (electrolytic, 16V) > gnd", "16 V part with 18 V across it: it will fail"),
        ("VIN > C1 100u (electrolytic, 16V) > gnd", "take 25 V."),
        ("VIN > C1 100u (electrolytic, 20V) > gnd", "20 V part with 18 V across it: too little room"),
        ("VIN > C1 100u (electrolytic, 35V) > gnd", "35 V part with 18 V across it: 17 V to spare."),
        ("VIN > C1 100u (electrolytic) > gnd", "18 V stands across it; take 25 V or more."),
        ("VIN > C1 100n (film, 16V) > gnd", "16 V part with 18 V across it: it will fail"),
        ("gnd > C1 100u (electrolytic, 35V) > VIN", "its plus end is on the lower side, 18 V backwards"),
        ("gnd > C1 100u (electrolytic, 35V) > VIN", "it will be destroyed"),
        ("gnd > C1 100u (tantalum, 35V) > VIN", "can catch fire"),
    ],
)
def test_the_sentence_says_what_stands_across_the_part(walk_line: str, says: str) -> None:
    assert says in rating_says(bench_of(walk_line), "C1")


@pytest.mark.parametrize("walk_line", ["VIN > C1 100n (film, 63V) > gnd", "VIN > C1 100n > gnd"])
def test_a_part_without_a_plus_end_that_holds_needs_no_sentence(walk_line: str) -> None:
    assert rating_says(bench_of(walk_line), "C1") == ""


def test_the_top_of_the_supplys_range_counts() -> None:
    bench = bench_of("VIN > C1 100u (electrolytic, 16V) > gnd", supply="9V")
    assert rating_findings(bench) == ()
    text = DIVIDER.format(supply="9V", walk="VIN > C1 100u (electrolytic, 16V) > gnd")
    wide = Analysis(read_text(text.replace("9V wall", "9V wall 9V..18V"))).bench
    assert "16 V part with 18 V across it" in rating_findings(wide)[0]


def test_half_the_supply_stands_across_the_divider() -> None:
    """1000 s / 10 uF = 100 Mohm of leakage on 5 kohm takes 0.005 % off 9 V."""
    strain = strain_on(bench_of("VB > C1 10u (electrolytic, 16V) > gnd"), "C1")
    assert strain is not None and strain.across_v == pytest.approx(9.0, rel=1e-4)
    assert not (strain.is_over or strain.is_tight or strain.is_backwards)


def test_the_walk_says_it_first_and_at_the_part() -> None:
    told = walk(Analysis(read_text(DIVIDER.format(supply="18V", walk="VIN > C1 9u1 (tantalum, 16V) > gnd"))))
    assert told.overall.notes[0].startswith("C1 (9.1 µF): 16 V part with 18 V across it: it will fail")
    part = next(part for stage in told.stages for part in stage.parts if part.ref == "C1")
    assert "16 V part with 18 V across it: it will fail" in part.says


def test_a_reservoirs_own_sentence_gives_the_verdict() -> None:
    text = DIVIDER.format(supply="18V", walk="VIN > C1 100u (electrolytic, 16V) > gnd")
    purposes = [
        stage.purpose for stage in walk(Analysis(read_text(text))).stages if stage.kind == "reservoir"
    ]
    assert len(purposes) == 1 and "C1: 16 V part with 18 V across it: it will fail" in purposes[0]


@pytest.mark.parametrize("name", package_circuits())
def test_no_circuit_of_the_package_overstrains_a_part(name: str) -> None:
    circuit, _ = package_circuits()[name]
    bench = Analysis(circuit).bench
    strains = [strain for part in circuit.parts if (strain := strain_on(bench, part.ref)) is not None]
    assert strains
    assert rating_findings(bench) == ()


def test_no_usual_part_holds_a_kilovolt() -> None:
    assert standard_rating(1000.0) is None
