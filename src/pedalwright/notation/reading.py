"""The front door: text or file in, circuit and remarks out."""

from dataclasses import dataclass
from pathlib import Path

from pedalwright.circuit.circuit import Circuit
from pedalwright.circuit.remark import Remark, UnusableCircuit
from pedalwright.notation.files import text_of_file
from pedalwright.notation.notebook import Notebook
from pedalwright.notation.understand import understand
from pedalwright.notation.writing_down import write_down
from pedalwright.notation.written import Written


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What came of a text: the circuit unless there are mistakes, every remark in the order of the text, and
    the text as written.
    """

    circuit: Circuit | None
    remarks: tuple[Remark, ...]
    written: Written


def examine(text: str) -> Reading:
    """Read a text and keep every remark; never raises for what the text holds."""
    notebook = Notebook()
    written = write_down(text, notebook)
    circuit = understand(written, notebook)
    return Reading(circuit=circuit, remarks=notebook.remarks, written=written)


def read_text(text: str, source: str = "") -> Circuit:
    """The circuit of a text; raises `UnusableCircuit` with every remark. `source` names the text."""
    reading = examine(text)
    if reading.circuit is None:
        raise UnusableCircuit(reading.remarks, source=source, text=text)
    return reading.circuit


def read_file(path: Path | str) -> Circuit:
    """The circuit of a file; `UnusableCircuit` also when the file cannot be read."""
    return read_text(text_of_file(path), source=str(path))
