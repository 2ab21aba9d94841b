"""What transistors of every technology share: an entry for each polarity, its first type the default."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Primitive
from pedalwright.devices.device import Device, Figure, Pin, Worked
from pedalwright.devices.part_facts import Sentences, figure, known_type


@dataclass(frozen=True, slots=True, kw_only=True)
class Transistor:
    """One polarity of a technology: its words, `polarity` 1 for n and -1 for p, and its types."""

    kind: str
    title: str
    says: str
    polarity: int
    types: Mapping[str, Mapping[str, Figure]]
    worked: tuple[Worked, ...]
    page: str

    def figure(self, part: Part, name: str) -> float:
        """One figure of the part's type, or of the first type when the part names none."""
        return figure(part, name, self.types, next(iter(self.types)))

    def device(
        self,
        *,
        family: str,
        pins: tuple[Pin, ...],
        options: Mapping[str, str],
        expand: Callable[["Transistor", Part], tuple[Primitive, ...]],
        check_options: Callable[[Part], tuple[Sentences, ...]],
    ) -> Device:
        """The entry of the family, with what its technology adds."""
        return Device(
            kind=self.kind,
            title=self.title,
            says=self.says,
            letters=("Q",),
            family=family,
            pins=pins,
            types=self.types,
            default_type=next(iter(self.types)),
            expand=lambda part: expand(self, part),
            check=lambda part: (*known_type(part, self.types), *check_options(part)),
            options=options,
            worked=self.worked,
            page=self.page,
        )
