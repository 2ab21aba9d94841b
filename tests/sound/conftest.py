"""The pedal most sounds are tried through."""

import pytest

from pedalwright import read_text
from pedalwright.analysis.memo import Analysis

from .hearing_of_a_wire import WIRE


@pytest.fixture
def wire_pedal() -> Analysis:
    return read_text(WIRE)
