"""From a word of a pasted list to the place it means: a net, a pin, a part whose pins follow, or nothing."""

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from pedalwright.analysis.naming_nets import spoken
from pedalwright.analysis.voltages.places import PACKAGES, TRANSISTORS, number_of
from pedalwright.circuit.circuit import GROUND, Circuit
from pedalwright.circuit.part import Part
from pedalwright.devices.catalogue import device

LONGEST_WORD = 60
"""longer words name nothing, and are not looked into"""
OTHER_LETTERS = {"ic": "u", "tr": "q", "t": "q", "vt": "q"}
"""designators of other drawings"""


@dataclass(frozen=True, slots=True)
class Spot:
    """A place: how it is written here (``U1.3``) and the net it is on."""

    key: str
    net: str


@dataclass(frozen=True, slots=True)
class Holder:
    """A part, or one section of it, whose pins may follow by name or number."""

    part: Part
    section: str = ""


@dataclass(frozen=True)
class Directory:
    """Every name a circuit's places go by; capitals do not matter unless two names differ by them alone."""

    circuit: Circuit

    def meant(self, word: str, holder: Holder | None) -> Spot | Holder | None:
        """The place or the part a word means, the pins of `holder` before everything else; None for
        neither.
        """
        if len(word) > LONGEST_WORD:
            return None
        own = self.pin(holder, word) if holder is not None else None
        return own or self._net(word) or self._part(word) or self._part_and_pin(word) or self._only_pin(word)

    def pin(self, holder: Holder, word: str) -> Spot | None:
        """The pin of a part by its name, an alias or its number."""
        names = self._pins[holder.part.ref]
        wanted = word.lower()
        for name in (f"{holder.section}.{wanted}", wanted) if holder.section else (wanted,):
            if name in names:
                return names[name]
        return None

    @cached_property
    def _pins(self) -> Mapping[str, Mapping[str, Spot]]:
        return {part.ref: dict(_pins_of(part)) for part in self.circuit.parts}

    @cached_property
    def chips(self) -> tuple[Part, ...]:
        """The parts that come in packages with numbered pins."""
        return tuple(
            part
            for part in self.circuit.parts
            if device(part.kind).family in PACKAGES and any(name.isdigit() for name in self._pins[part.ref])
        )

    def chips_with(self, numbers: Iterable[str]) -> tuple[Part, ...]:
        """The packages that have all these pins."""
        wanted = set(numbers)
        return tuple(chip for chip in self.chips if wanted <= self._pins[chip.ref].keys())

    def _net(self, word: str) -> Spot | None:
        plain = word.removeprefix("~")
        if plain.lower() in (GROUND, "ground", "0v"):
            return Spot(GROUND, GROUND)
        by_name = {spoken(net): net for net in self.circuit.nets if "/" not in net}
        if plain in by_name:
            return Spot(plain, by_name[plain])
        alike = [name for name in by_name if name.lower() == plain.lower()]
        return Spot(alike[0], by_name[alike[0]]) if len(alike) == 1 else None

    def _part(self, word: str) -> Holder | None:
        found = self._refs.get(word.lower()) or self._sorts.get(word.lower())
        if found is None:
            for other, ours in OTHER_LETTERS.items():
                if re.fullmatch(rf"{other}\d+[a-d]?", word.lower()):
                    found = found or self._refs.get(ours + word.lower().removeprefix(other))
        return found

    @cached_property
    def _sorts(self) -> Mapping[str, Holder]:
        """Types and kinds of chips and transistors that only one part is of: ``TL072``, ``regulator``."""
        parts = [part for part in self.circuit.parts if device(part.kind).family in (*PACKAGES, *TRANSISTORS)]
        words = [(word.lower(), part) for part in parts for word in {part.type, part.kind} if word]
        counts = Counter(word for word, _ in words)
        return {word: Holder(part) for word, part in words if counts[word] == 1}

    @cached_property
    def _refs(self) -> Mapping[str, Holder]:
        found = {part.ref.lower(): Holder(part) for part in self.circuit.parts}
        for part in self.circuit.parts:
            for section in device(part.kind).sections:
                found.setdefault(f"{part.ref}{section}".lower(), Holder(part, section))
        return found

    def _part_and_pin(self, word: str) -> Spot | None:
        """``U1.3``, ``U1-3``, ``U1pin3``, ``U1a.out``, ``Q1c``."""
        for cut in range(len(word) - 1, 0, -1):
            holder = self._part(word[:cut])
            if holder is None:
                continue
            rest = re.fullmatch(r"([._/#-]*)(?:pin|leg|lug|p)?[._#-]*([\w+-]+)", word[cut:], re.IGNORECASE)
            if rest is None or (not rest[1] and word[cut].isdigit()):
                continue
            found = self.pin(holder, rest[2]) or self.pin(holder, word[cut:].lstrip("._/#-"))
            if found is not None:
                return found
        return None

    def _only_pin(self, word: str) -> Spot | None:
        """A pin's name that one chip alone has."""
        if word.isdigit():
            return None
        found = [spot for chip in self.chips if (spot := self.pin(Holder(chip), word)) is not None]
        return found[0] if len(found) == 1 else None


def _pins_of(part: Part) -> Iterable[tuple[str, Spot]]:
    for pin in device(part.kind).pins_for(part):
        spot = Spot(f"{part.ref}.{number_of(pin) or pin.name}", part.net(pin.name))
        for name in (pin.name, *pin.aliases):
            yield name.lower(), spot
