"""The deepest answer there is to a text, under a watchdog; the fuzz tests ask it and nothing else."""

import json
import signal
from collections.abc import Iterator
from contextlib import contextmanager

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.walk import walk
from pedalwright.circuit.remark import Remark
from pedalwright.devices.catalogue import expand_circuit
from pedalwright.notation import (
    examine,
    examine_tables,
    present_all,
    print_back,
    read_text,
    write_circuit,
    write_tables,
)
from pedalwright.report.walk_json import walk_data

HANG_S = 1.0
"""a file that takes more processor time than this is taken for a hang; other programs' time does not count"""
STANDSTILL_S = 30.0
"""so much time by the clock is a hang however little the processor did"""


class Hang(BaseException):
    """Not an Exception, so that nothing in between swallows it."""


def answer(text: str) -> tuple[Remark, ...]:
    """Everything that is done with a text, from reading to the walk-through; returns its remarks."""
    reading = examine(text)
    assert reading.circuit is not None or reading.remarks, "neither a circuit nor a remark"
    assert print_back(reading.written) == text
    shown = present_all(reading.remarks, text, source=text[:20])
    assert all(character.isprintable() or character == "\n" for character in shown)
    if reading.circuit is not None:
        expand_circuit(reading.circuit)
        again = read_text(write_circuit(reading.circuit))
        assert [part.ref for part in again.parts] == [part.ref for part in reading.circuit.parts]
        assert examine_tables(*write_tables(reading.circuit)).circuit is not None
        _walked(Analysis(reading.circuit, text))
    return reading.remarks


def _walked(analysis: Analysis) -> None:
    """A walk-through whose every figure is a number, certified or refused in words; every part has a role."""
    told = walk(analysis)
    json.dumps(walk_data(told), allow_nan=False)
    assert {part.ref for part in analysis.circuit.parts} <= set(analysis.stages.roles)
    if not all(certificate.ok for certificate in told.certificates):
        assert told.refusals


@contextmanager
def watched(seconds: float = HANG_S) -> Iterator[None]:
    """Raise `Hang` when the body takes longer than `seconds`."""

    def bite(_number: int, _frame: object) -> None:
        raise Hang(f"no answer within {seconds} s")

    before = {number: signal.signal(number, bite) for number in (signal.SIGPROF, signal.SIGALRM)}
    signal.setitimer(signal.ITIMER_PROF, seconds)
    signal.setitimer(signal.ITIMER_REAL, STANDSTILL_S)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.setitimer(signal.ITIMER_REAL, 0)
        for number, handler in before.items():
            signal.signal(number, handler)
