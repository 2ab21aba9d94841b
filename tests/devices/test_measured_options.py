"""Figures of a measured part written as options: bad ones are answered with a sentence."""

import pytest

from pedalwright.devices.catalogue import device
from tests.devices.bench import part


@pytest.mark.parametrize(
    ("kind", "option", "written"),
    [
        ("silicon-diode", "saturation", "0A"),
        ("silicon-diode", "saturation", "lots"),
        ("schottky-diode", "emission", "-1"),
        ("led", "series", "-1"),
        ("germanium-diode", "emission", "1,3"),
        ("npn", "saturation", "-1fA"),
        ("pnp", "early", "0V"),
        ("opamp", "gbw", "0Hz"),
        ("dual-opamp", "dc-gain", "-5"),
        ("quad-opamp", "gbw", "fast"),
    ],
)
def test_an_option_that_cannot_be_is_refused(kind: str, option: str, written: str) -> None:
    entry = device(kind)
    pins = {"v+": "P", "v-": "gnd"} if entry.family == "opamp" else {}
    name = next(iter(entry.types))
    bare = part(kind, type=name, pins=pins)
    spoilt = part(kind, type=name, pins=pins, options=((option, written),))
    assert option in entry.options
    assert entry.check(bare) == ()
    (sentences,) = entry.check(spoilt)
    assert f"{option}={written}" in sentences[0]


def test_a_series_resistance_of_nothing_is_nothing() -> None:
    junction_only = part(
        "silicon-diode", "D1", type="1N4148", pins={"1": "A", "2": "B"}, options=(("series", "0"),)
    )
    assert [primitive.name for primitive in device("silicon-diode").expand(junction_only)] == ["D1"]
