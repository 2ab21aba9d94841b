"""The deepest answer there is to a text, under a watchdog; the fuzz tests ask it and nothing else."""

import signal
from collections.abc import Iterator
from contextlib import contextmanager

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

HANG_S = 1.0
"""a file that takes longer than this is taken for a hang"""


class Hang(BaseException):
    """Not an Exception, so that nothing in between swallows it."""


def answer(text: str) -> tuple[Remark, ...]:
    """Everything that is done with a text today, from reading to primitives; returns its remarks."""
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
    return reading.remarks


@contextmanager
def watched(seconds: float = HANG_S) -> Iterator[None]:
    """Raise `Hang` when the body takes longer than `seconds`."""

    def bite(_number: int, _frame: object) -> None:
        raise Hang(f"no answer within {seconds} s")

    before = signal.signal(signal.SIGALRM, bite)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)
