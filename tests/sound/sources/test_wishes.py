"""Wishes for built-in sounds as written, and every mistake in them at once."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pedalwright.devices.sources import source_figures
from pedalwright.sound.sources.catalogue import source_names, sources
from pedalwright.sound.sources.reading import is_source, read_source
from pedalwright.sound.sources.source import Source
from pedalwright.sound.unusable import UnusableSound


def mistakes(wish: str) -> list[tuple[str, str]]:
    """The code of every remark, and the stretch of the wish it is about."""
    with pytest.raises(UnusableSound) as told:
        read_source(wish)
    for remark in told.value.remarks:
        assert remark.what.endswith((".", "?")) and remark.cure.endswith((".", "?"))
    spans = [(remark.code, remark.span) for remark in told.value.remarks]
    return [
        (code, "" if span is None else wish[span.column - 1 : span.end_column - 1]) for code, span in spans
    ]


def test_the_value_after_the_colon_is_the_first_option() -> None:
    assert read_source("pluck:A4").settings.number("note") == pytest.approx(440)
    assert read_source("tone:1kHz").settings.number("pitch") == 1000
    assert read_source("sweep:50Hz..5kHz").settings.numbers("band") == (50, 5000)
    assert len(read_source("chord:E").settings.numbers("notes")) == 6


def test_further_options_are_read_in_their_units() -> None:
    chosen = read_source(" pluck : E2 , seconds=1500ms , level=200mV , pick=10% , seed=7 ")
    assert (chosen.seconds, chosen.level_v) == (1.5, 0.2)
    assert (chosen.settings.number("pick"), chosen.settings.number("seed")) == (0.1, 7)


def test_the_level_is_the_inputs_unless_it_is_said() -> None:
    assert read_source("noise", level_v=0.123).level_v == 0.123
    assert read_source("noise").level_v == source_figures("pickup").level_v
    assert read_source("noise:20Hz..2kHz,level=1V", level_v=0.123).level_v == 1.0


def test_all_mistakes_are_told_each_with_its_place() -> None:
    assert mistakes("pluck:H2,seconds=-3,level=1k,colour=3,pick") == [
        ("sound.option", "colour"),
        ("sound.option", "pick"),
        ("sound.value", "H2"),
        ("sound.value", "-3"),
        ("sound.out-of-reach", "1k"),
    ]


@pytest.mark.parametrize(
    ("wish", "told"),
    [
        ("pluk:E2", ("sound.unknown", "pluk")),
        ("", ("sound.unknown", "")),
        ("click:3", ("sound.no-main", "3")),
        ("pluck:", ("sound.value", "")),
        ("tone:440Hz,level=1V,level=2V", ("sound.twice", "level=2V")),
        ("tone:440F", ("sound.value", "440F")),
        ("sweep:20kHz..20Hz", ("sound.values", "sweep:20kHz..20Hz")),
        ("sweep:20Hz", ("sound.value", "20Hz")),
        ("noise:50Hz..53Hz,seconds=10ms", ("sound.values", "noise:50Hz..53Hz,seconds=10ms")),
        ("pluck:E9", ("sound.out-of-reach", "E9")),
        ("click,seconds=1000s", ("sound.out-of-reach", "1000s")),
        ("noise,seed=-1", ("sound.value", "-1")),
        ("x" * 301, ("sound.too-long", "")),
    ],
)
def test_one_mistake_is_told_with_its_place(wish: str, told: tuple[str, str]) -> None:
    found = mistakes(wish)
    assert [code for code, _ in found] == [told[0]]
    assert found[0][1].strip() == told[1]


@pytest.mark.parametrize("source", sources(), ids=lambda source: source.name)
def test_every_option_understands_what_it_gives_as_usual_and_as_an_example(source: Source) -> None:
    for option in source.options:
        written = [f"{option.name}={option.example}"]
        written += [f"{option.name}={option.usual}"] if option.name != "level" else []
        for words in written:
            value = read_source(f"{source.name},{words}").settings.numbers(option.name)
            assert all(option.lowest <= one <= option.highest for one in value)


def test_a_source_is_told_from_a_file() -> None:
    assert is_source("pluck:E2") and is_source("Tone") and is_source("noise,seed=3") and is_source("click:3")
    assert not is_source("pluck.wav") and not is_source("take-3.flac") and not is_source("C:pluck.wav")


@settings(max_examples=150)
@given(st.sampled_from(source_names()), st.text(alphabet="abEm2:,=.-+#%kHzs \x00é9", max_size=30))
def test_no_wish_ends_in_anything_but_a_sound_or_remarks(name: str, tail: str) -> None:
    try:
        chosen = read_source(name + tail)
    except UnusableSound:
        return  # and nothing else is raised
    assert chosen.seconds > 0
