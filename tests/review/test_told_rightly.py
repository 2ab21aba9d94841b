"""What findings say: names a builder knows, the right way round, and nothing twice."""

from pedalwright.analysis.memo import Analysis
from pedalwright.notation.reading import read_text
from pedalwright.review.catalogue import rule_named
from pedalwright.review.reviewing import review
from pedalwright.review.rule import Finding

BELOW_GROUND = """pedal Below ground
supply VN -9V wall
input IN pickup
output OUT 1M
gnd > C1 47u (electrolytic, 16V) > VN
VN > R1 10k > OUT > R2 10k > gnd
"""
LOW_RATED = """pedal Low rated
supply V 9V wall
output OUT 1M
V > D1 1N5817 > A > R1 10k > OUT > R2 10k > gnd
A > C1 100u (electrolytic, 10V) > gnd
gnd > C2 10u (electrolytic, 16V) > OUT
"""
FLOATING = """pedal Floating
supply V 9V wall
input IN pickup
output OUT 1M
part U1 opamp TL071 v+=V v-=gnd
IN > C1 22n (film) > U1.non
U1.out > U1.inv
U1.out > C2 1u (film) > OUT > R1 100k > gnd
"""


def _found(code: str, text: str) -> tuple[Finding, ...]:
    rule = rule_named(code)
    assert rule is not None
    return tuple(one.finding for one in review(Analysis(read_text(text), text), (rule,)).found)


def test_a_diode_for_a_supply_below_ground_points_to_it() -> None:
    """Current flows into a supply below ground: the cathode, marked by the band, is on its side."""
    (below,) = _found("S10", BELOW_GROUND)
    above_ground = BELOW_GROUND.replace("VN -9V", "VN 9V").replace(
        "gnd > C1 47u (electrolytic, 16V) > VN", ""
    )
    (above,) = _found("S10", above_ground + "VN > C1 47u (electrolytic, 16V) > gnd\n")
    assert "band towards it" in below.cure
    assert "band away from it" in above.cure


def test_a_wrong_adaptor_is_not_blamed_for_what_the_right_one_does() -> None:
    (found,) = _found("S11", LOW_RATED)
    assert found.parts == ("C1",)
    assert all("C1" in one.name for one in found.evidence)


def test_the_figures_are_of_the_part_that_goes_first() -> None:
    """Within its surge voltage (1.15 times, IEC 60384-4) a capacitor is not told of, nor are its volts."""
    both = LOW_RATED.replace("C1 100u (electrolytic, 10V)", "C1 100u (electrolytic, 16V)").replace(
        "gnd > C2 10u (electrolytic, 16V) > OUT", "A > C2 10u (electrolytic, 10V) > gnd"
    )
    (found,) = _found("S11", both)
    assert found.parts == ("C2",)
    assert all("C2" in one.name for one in found.evidence)


def test_an_input_that_nothing_holds_is_no_kilovolt() -> None:
    assert _found("B02", FLOATING)
    assert not _found("P02", FLOATING)


def test_a_capacitor_turned_round_is_told_by_parts_with_names() -> None:
    text = LOW_RATED + "gnd > R3 1M > C4 1u (electrolytic, 16V) > R4 10k > V\n"
    cures = [one.cure for one in _found("S01", text)]
    assert "Turn it round: plus to R4." in cures
    assert not any("~" in cure for cure in cures)


PAIR = """pedal Pair
supply V 9V wall
input IN pickup
output OUT 1M
part Q1 npn 2N3904
part Q2 npn 2N3904
IN > R2 1M > gnd
IN > C3 220n (film) > Q1.b > R3 100k > Q2.e
V > R4 47k > Q1.c > Q2.b
Q1.e > R5 470 > gnd
V > R6 4k7 > Q2.c
Q2.e > R7 1k || C4 100u > gnd
Q2.c > C5 10u > R8 10k > Q1.e
Q2.c > C6 1u (film) > OUT > R9 100k > gnd
"""
PAD = """pedal Pad
input IN pickup
output OUT 1M
IN > R1 10k > OUT > R2 100k > gnd
"""


def test_a_cure_for_the_treble_neither_moves_the_rest_nor_takes_the_level() -> None:
    """Ten times R3 holds Q2 fully on; 33 times R1 takes 12 dB of what is heard."""
    for text in (PAIR, PAD):
        (found,) = _found("L05", text)
        assert not found.changes and "follower" in found.cure


BURNING = """pedal Burning
supply V 9V battery
output OUT 1M
V > D1 red > gnd
V > R1 10k > OUT > R2 10k > gnd
"""


def test_no_temperature_is_told_that_nothing_lives_to_see() -> None:
    (found,) = _found("H06", BURNING)
    assert "dead before" in found.what
    assert max(one.value for one in found.evidence if one.unit == "C") == 300.0


def test_a_battery_is_told_in_hours_and_of_no_socket() -> None:
    (found,) = _found("S20", BURNING)
    assert found.evidence[0].unit == "h" and found.evidence[0].low == 6.0
    assert "socket" not in found.cure
