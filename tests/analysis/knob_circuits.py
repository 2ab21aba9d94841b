"""Circuits with knobs, and the answer of one knob."""

from importlib.resources import files

from pedalwright import read_text
from pedalwright.analysis.knob_answers import knobs
from pedalwright.analysis.knob_records import Heard, KnobAnswer
from pedalwright.analysis.memo import Analysis

CIRCUITS = files("pedalwright.circuits")


DIVIDER = """pedal Divider
input IN 1k 1V
output OUT 1M
knob LEVEL 100k {law} at 5
IN > LEVEL.3
LEVEL.1 > gnd
LEVEL.2 > OUT
"""


def circuit(name: str) -> Analysis:
    return read_text((CIRCUITS / f"{name}.pedal").read_text(encoding="utf-8"))


def one(analysis: Analysis, ref: str, steps: int = 41) -> KnobAnswer:
    (answer,) = knobs(analysis, [ref], steps)
    return answer


def first(analysis: Analysis, ref: str) -> Heard:
    return one(analysis, ref).heard[0]
