"""What holds for all checks together: there are enough of them, each names its source, and each can fail."""

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from importlib import import_module
from itertools import groupby
from pathlib import Path

import pytest

from pedalwright.circuit.circuit import Circuit
from pedalwright.solve.certificate import NotCertified
from tests.published.bench import Bench, Check

HERE = Path(__file__)
SPOILT_VALUE, SPOILT_TURN, SPOILT_SUPPLY, SPOILT_BANDWIDTH = 1.05, 0.5, 0.25, "10kHz"


@cache
def checks() -> tuple[Check, ...]:
    modules = (
        import_module(f"tests.published.{path.stem}") for path in sorted(HERE.parent.glob("test_*.py"))
    )
    return tuple(check for module in modules for check in getattr(module, "CHECKS", ()))


def by_text() -> list[tuple[Check, ...]]:
    """The checks of one circuit at one temperature, together."""

    def key(check: Check) -> tuple[str, bool, float]:
        return check.text, check.ideal, check.temperature_k

    return [tuple(group) for _, group in groupby(sorted(checks(), key=key), key)]


def spoilt(circuit: Circuit) -> Iterator[Circuit]:
    """The circuit with one value 5 % off, a knob turned, a supply at a quarter, or a far slower amplifier."""
    for part in circuit.parts:
        if part.kind in ("resistor", "capacitor", "battery") and part.value:
            yield circuit.with_value(part.ref, part.value * SPOILT_VALUE)
        if part.option("gbw"):
            yield circuit.with_parts({part.ref: replace(part, options=(("gbw", SPOILT_BANDWIDTH),))})
    for knob in circuit.knobs:
        at = float(knob.setting or 0.0)
        yield circuit.with_settings({knob.ref: at + SPOILT_TURN if at < 5 else at - SPOILT_TURN})
    for place, supply in enumerate(circuit.supplies):
        supplies = list(circuit.supplies)
        supplies[place] = replace(supply, volts=supply.volts * SPOILT_SUPPLY)
        yield replace(circuit, supplies=tuple(supplies))


def is_noticed(check: Check, circuit: Circuit) -> bool:
    made = Bench(circuit=circuit, ideal=check.ideal, temperature_k=check.temperature_k)
    try:
        return bool(check.misses(made))
    except (NotCertified, IndexError):
        return True


def test_there_are_enough_checks() -> None:
    assert len(checks()) >= 900
    assert len({check.text for check in checks()}) >= 250


def test_every_check_names_its_source_and_what_it_expects() -> None:
    for check in checks():
        assert check.source and check.says
        assert check.exact is not None or check.printed, str(check)


def test_every_circuit_spoilt_is_noticed() -> None:
    unnoticed = [
        group[0].source
        for group in by_text()
        if not any(
            is_noticed(check, circuit) for circuit in spoilt(group[0].bench.circuit) for check in group
        )
    ]
    assert unnoticed == []


@pytest.mark.parametrize("share", [0.0, 3.0])
def test_every_expectation_moved_is_refused(share: float) -> None:
    """A published figure `share` times what it is, or one off if it is zero, is no longer met."""
    for check in checks():
        expected = float(check.printed) if check.exact is None else check.exact
        wrong = expected * share if expected else 1.0
        assert replace(check, exact=wrong, printed="").misses(check.bench), str(check)
