"""The table of mistakes: each is found where it is, called what it is, and gone when it is mended."""

import pytest

from pedalwright.circuit.remark import Severity
from pedalwright.notation import examine, present
from pedalwright.notation.examples_of_mistakes import MistakeExample, mistake_examples

EXAMPLES = [example for examples in mistake_examples().values() for example in examples]


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: f"{example.code}: {example.text[:30]!a}")
def test_the_mistake_is_found_where_it_is(example: MistakeExample) -> None:
    first = examine(example.text).remarks[0]
    place = (first.span.line, first.span.column) if first.span else (None, None)
    assert (first.code, *place, first.what) == (example.code, example.line, example.column, example.what)


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: f"{example.code}: {example.text[:30]!a}")
def test_the_mended_text_is_free_of_it(example: MistakeExample) -> None:
    left = [remark for remark in examine(example.mended).remarks if remark.severity is Severity.MISTAKE]
    # A mended line alone may still be no whole circuit.
    assert [remark for remark in left if remark.code != "text.empty"] == []
    assert example.code not in {remark.code for remark in examine(example.mended).remarks}


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: f"{example.code}: {example.text[:30]!a}")
def test_every_remark_has_whole_sentences_and_a_place_inside_the_text(example: MistakeExample) -> None:
    lines = example.text.split("\n")
    for remark in examine(example.text).remarks:
        assert all((remark.what.strip(), remark.why.strip(), remark.cure.strip()))
        assert remark.why[-1] in ".)" or remark.why.count(":")
        assert len(remark.what) < 160
        if remark.span is not None:
            assert 1 <= remark.span.line <= len(lines)
            assert 1 <= remark.span.column < remark.span.end_column <= len(lines[remark.span.line - 1]) + 2
        assert present(remark, example.text, "some.pedal").isprintable() is False  # several lines ...
        assert all(line.isprintable() for line in present(remark, example.text).split("\n"))  # ... each safe


def test_there_are_many_and_each_only_once() -> None:
    assert len(EXAMPLES) >= 60
    assert len({example.text for example in EXAMPLES}) == len(EXAMPLES)


def test_all_mistakes_of_a_text_come_out_in_one_run() -> None:
    text = "suply VIN 9V wall\nIN > R1 4,7k > gnd\nknob TONE 50k log\nIN > > gnd\nIN > R2 10x > R3 > gnd\n"
    assert [remark.code for remark in examine(text).remarks] == [
        "keyword.unknown",
        "value.decimal-comma",
        "knob.law",
        "walk.double-arrow",
        "value.unreadable",
        "value.missing",
    ]  # fmt: skip


def test_a_mistake_in_a_declaration_is_not_repeated_at_every_mention() -> None:
    text = "part U1 dual-opmap TL072 v+=VA v-=gnd\nIN > R1 10k > U1a.inv\nU1a.inv > R2 10k > U1a.out\n"
    assert [remark.code for remark in examine(text).remarks] == ["kind.unknown"]


@pytest.mark.parametrize(
    ("line", "meant"),
    [
        # How builders write out of habit: common practice, no source.
        ("pot TONE 50k linear", "knob"),
        ("part Q1 mosfet BS170", "n-mosfet"),
        ("IN > R2 10k > U1a.+", "U1a.non"),
        ("IN > R2 10k > U1a.-", "U1a.inv"),
    ],
)
def test_a_builders_habit_is_understood(line: str, meant: str) -> None:
    text = f"part U1 dual-opamp TL072 v+=VA v-=gnd\n{line}\n"
    assert any(remark.cure.startswith(f"Did you mean {meant}?") for remark in examine(text).remarks)
