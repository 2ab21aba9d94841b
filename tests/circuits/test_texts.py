"""Every circuit reads without a remark, and its golden roles cover it with words of the list."""

import re
from pathlib import Path

import pytest

from pedalwright import circuits
from pedalwright.notation import examine

from .samples import Sample

ROLES_PAGE = Path(__file__).parents[2] / "design" / "roles.md"


def _listed_roles() -> dict[str, set[str]]:
    """Stage kind -> the role words its row of the page lists."""
    found: dict[str, set[str]] = {}
    for line in ROLES_PAGE.read_text(encoding="utf-8").splitlines():
        cells = [cell.strip() for cell in line.strip().strip("|").split("|")]
        if line.startswith("|") and len(cells) == 2:
            kinds = ["-"] if cells[0].startswith("(no kind") else cells[0].split(", ")
            plain = re.sub(r"\([^)]*\)", "", cells[1])
            for kind in kinds:
                found.setdefault(kind, set()).update(word.strip() for word in plain.split(","))
    for role in ("amplifier", "transistor"):
        found["gyrator"].add(role)
        found["phase-shift-oscillator"].add(role)
    found["clipping-amplifier"] |= (
        found["inverting-amplifier"] | found["non-inverting-amplifier"] | {"clipping diode"}
    )
    return found


def test_the_text_reads_without_a_remark(sample: Sample) -> None:
    reading = examine(sample.text)
    assert reading.circuit is not None and reading.remarks == ()


def test_every_part_and_every_section_has_one_golden_role(sample: Sample) -> None:
    wanted = [part.ref for part in sample.circuit.parts]
    wanted += [unit.ref for unit in sample.units if unit.ref not in wanted]
    assert sorted(sample.roles) == sorted(wanted)


def test_the_golden_roles_use_the_words_of_the_list(sample: Sample) -> None:
    listed = _listed_roles()
    strange = {ref: found for ref, found in sample.roles.items() if found[1] not in listed.get(found[0], ())}
    assert strange == {}


def test_part_numbers_run_without_gaps(sample: Sample) -> None:
    numbers: dict[str, list[int]] = {}
    for part in sample.circuit.parts:
        match = re.fullmatch(r"([RCLDQUFJ])(\d+)", part.ref)
        if match:
            numbers.setdefault(match[1], []).append(int(match[2]))
    for letter, found in numbers.items():
        assert sorted(found) == list(range(1, len(found) + 1)), letter


@pytest.mark.parametrize("name", circuits.names())
def test_a_starting_circuit_teaches(name: str) -> None:
    text = circuits.text(name)
    assert text.startswith(f"# kind: {circuits.kind(name)}\n")
    assert "\nabout " in text and "\nsection " in text
    assert circuits.title(name) == text.split("pedal ", 1)[1].splitlines()[0].strip()


def test_the_kinds_hold_every_circuit_once() -> None:
    listed = [name for names in circuits.kinds().values() for name in names]
    assert sorted(listed) == list(circuits.names())
    assert {"echo", "reverb", "chorus", "overdrive", "fuzz", "booster", "tremolo", "phaser"} <= set(
        circuits.kinds()
    )


def test_an_unknown_name_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        circuits.text("../lantern-echo")


@pytest.mark.parametrize(
    "written", ["R1 pull-down", "R1 pull-down pull-down resistor\nR1 bias-feed bias feed resistor"]
)
def test_a_roles_file_with_a_short_or_double_line_is_refused(written: str) -> None:
    with pytest.raises(ValueError, match="line"):
        circuits.read_roles(written)


def test_the_echo_pedal_has_the_size_of_a_real_one() -> None:
    """45 to 60 parts, one echo chip: the size of the job the tool is made for."""
    lines = circuits.roles("lantern-echo")
    parts = [ref for ref in lines if "/" not in ref and not re.fullmatch(r"U\d[a-d]", ref)]
    assert 45 <= len(parts) <= 60
    assert [ref for ref, found in lines.items() if found[1] == "echo chip"] == ["U2"]
