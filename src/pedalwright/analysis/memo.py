"""The memo: one frozen circuit, each answer computed when first asked for and kept."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from pedalwright.circuit.circuit import Circuit
from pedalwright.circuit.primitives import Primitive
from pedalwright.devices.catalogue import expand_circuit
from pedalwright.solve.certificate import NotCertified
from pedalwright.solve.linear import SmallSignal, linearise
from pedalwright.solve.rest import OperatingPoint, operating_point
from pedalwright.solve.system import System, compile_system
from pedalwright.stages.bench import Bench
from pedalwright.stages.nets import classify
from pedalwright.stages.path import Path, signal_path
from pedalwright.stages.proof import StageProof, prove
from pedalwright.stages.recognise import StageMap, recognise
from pedalwright.stages.view import View


@dataclass(frozen=True)
class Analysis:
    """Everything known about one circuit with its knobs as they stand.

    `text` is the text the circuit was read from, for the fingerprint printed on documents; it may be empty.
    """

    circuit: Circuit
    text: str = ""

    @cached_property
    def kept(self) -> dict[str, object]:
        """What larger questions keep between calls, each under its own name."""
        return {}

    @cached_property
    def primitives(self) -> tuple[Primitive, ...]:
        """What the circuit expands into."""
        return expand_circuit(self.circuit)

    @cached_property
    def system(self) -> System:
        """The numbered equations of the circuit."""
        return compile_system(self.primitives)

    @cached_property
    def rest(self) -> OperatingPoint:
        """The rest point; certified or not, as its certificate says."""
        return operating_point(self.system)

    @cached_property
    def small(self) -> SmallSignal | None:
        """The circuit made linear at rest; None when the rest point is not certified."""
        try:
            return linearise(self.system, self.rest)
        except NotCertified:
            return None

    @cached_property
    def view(self) -> View:
        """The circuit as recognisers see it."""
        return View(self.circuit)

    @cached_property
    def bench(self) -> Bench:
        """The recognisers' measuring bench, with the solved circuit on it."""
        rest = self.rest if self.rest.certificate.ok else None
        return Bench(self.view, classify(self.view), rest, self.small)

    @cached_property
    def stages(self) -> StageMap:
        """The stages and every part's role."""
        return recognise(self.bench)

    @cached_property
    def path(self) -> Path:
        """The order in which the stages are told, and the loops among them."""
        return signal_path(self.stages, self.bench)

    @cached_property
    def proofs(self) -> Mapping[str, StageProof]:
        """V1 and V3 of every stage, by stage name, with the knobs as they stand."""
        return prove(self.bench, self.stages)
