"""The starting circuits and the odd ones, each understood and brought to rest once."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path

from pedalwright import circuits
from pedalwright.circuit.circuit import Circuit
from pedalwright.circuit.part import Part
from pedalwright.devices.catalogue import amplifiers, device, expand_circuit
from pedalwright.devices.device import AmplifierUnit
from pedalwright.notation import read_text
from pedalwright.solve.rest import OperatingPoint, operating_point
from pedalwright.solve.system import compile_system

ODD = Path(__file__).parent / "odd"
ODD_NAMES = tuple(sorted(path.stem for path in ODD.glob("*.pedal")))


@dataclass(frozen=True)
class Sample:
    """One circuit with what its golden roles say."""

    name: str
    text: str
    roles: Mapping[str, tuple[str, str]]

    @cached_property
    def circuit(self) -> Circuit:
        return read_text(self.text)

    @cached_property
    def rest(self) -> OperatingPoint:
        return operating_point(compile_system(expand_circuit(self.circuit)))

    @cached_property
    def units(self) -> tuple[AmplifierUnit, ...]:
        return amplifiers(self.circuit)

    def family(self, part: Part) -> str:
        return device(part.kind).family

    def with_role(self, kind: str, role: str) -> tuple[Part, ...]:
        """The parts that the golden roles give this kind and role."""
        refs = (ref for ref, found in self.roles.items() if found == (kind, role))
        return tuple(self.circuit.by_ref[ref] for ref in refs if ref in self.circuit.by_ref)


@cache
def sample_of(name: str) -> Sample:
    if name in ODD_NAMES:
        written = (ODD / f"{name}.roles").read_text(encoding="utf-8")
        return Sample(name, (ODD / f"{name}.pedal").read_text(encoding="utf-8"), circuits.read_roles(written))
    return Sample(name, circuits.text(name), circuits.roles(name))
