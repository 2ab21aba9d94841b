"""A pasted list of readings understood: places paired with voltages, and everything else with the reason why
it was not.

The list may come from a forum: ``1=4.97 2=2.48``, ``U1.3 4,5V``, ``pin 6: 2.41``, one reading a line or all
in one, with the chip named once before its pins. A number alone is the pin of the chip named last, or else of
the only chip that has all the pins so numbered, or else of the only echo chip among them, which is then said.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import isfinite

from pedalwright.analysis.voltages.pasted_places import LONGEST_WORD, Directory, Holder, Spot
from pedalwright.analysis.voltages.pasted_words import LONGEST_TEXT, Sort, Token, tokens
from pedalwright.circuit.circuit import Circuit
from pedalwright.circuit.part import Part
from pedalwright.devices.catalogue import device

MOST_V = 1000.0
FILLERS = frozenset(
    (
        *("pin", "pins", "leg", "legs", "lug", "lugs", "p", "no", "number", "at", "on", "is", "was", "are"),
        *("reads", "read", "reading", "gives", "shows", "has", "measures", "measured", "about", "approx"),
        *("approximately", "around", "ca", "roughly", "and", "the", "of", "dc", "v", "volt", "volts", "vdc"),
        *("voltage", "voltages", "readings", "value", "values", "chip", "getting", "get", "got"),
    )
)
BEFORE_PLACE = frozenset(("at", "on"))
"""``9 V on pin 8``: the voltage stands first"""
PIN_WORDS = frozenset(("pin", "pins", "leg", "lug", "p"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Pasted:
    """One reading: the place as it is written here, its net, the voltage, and a second one where a range was
    pasted (a reading that wanders). `text` is what was pasted.
    """

    text: str
    key: str
    net: str
    volts: float
    other_v: float | None = None


@dataclass(frozen=True, slots=True)
class NotUnderstood:
    """A piece of a pasted list that is no reading, and why."""

    text: str
    reason: str


@dataclass(frozen=True, slots=True)
class PastedList:
    """Everything in a pasted list, each piece once; `notes` say what was taken for granted."""

    readings: tuple[Pasted, ...]
    not_understood: tuple[NotUnderstood, ...]
    notes: tuple[str, ...] = ()


class UnknownChip(ValueError):
    """The chip that bare numbers should belong to is not in the circuit."""


def read_pasted(circuit: Circuit, text: str, chip: str = "") -> PastedList:
    """The readings in a text. `chip` names the chip bare pin numbers belong to.

    Raises UnknownChip for a `chip` that is no chip of the circuit; never for anything in the text.
    """
    directory = Directory(circuit)
    holder = None
    if chip:
        found = directory.meant(chip, None)
        if not isinstance(found, Holder):
            names = ", ".join(part.ref for part in directory.chips) or "none"
            raise UnknownChip(
                f"there is no chip '{chip[:40]}' in this circuit; chips with numbered pins: {names}."
            )
        holder = found
    reader = _Reader(directory, holder)
    for token in tokens(text):
        reader.take(token)
    reader.finish()
    reader.settle_bare()
    if len(text) > LONGEST_TEXT:
        reader.refuse(
            text[LONGEST_TEXT : LONGEST_TEXT + 40], "the list is too long; this and the rest were left out"
        )
    kept = tuple(one for one in reader.readings if one is not None)
    return PastedList(kept, tuple(reader.refused), tuple(dict.fromkeys(reader.notes)))


@dataclass(frozen=True, slots=True)
class _Bare:
    """A pin number without a chip."""

    number: str


class _Reader:
    """Takes a list token by token; a helper of one call."""

    def __init__(self, directory: Directory, holder: Holder | None) -> None:
        self.directory = directory
        self.holder = holder
        self.place: Spot | _Bare | None = None
        self.place_text = ""
        self.waiting: Token | None = None
        self.announced = False
        self.words: list[str] = []
        self.dash = False
        self.after_reading = False
        self.readings: list[Pasted | None] = []
        self.bare: list[tuple[int, _Bare]] = []
        self.refused: list[NotUnderstood] = []
        self.notes: list[str] = []

    def refuse(self, text: str, reason: str) -> None:
        """Note something that was not understood."""
        self.refused.append(NotUnderstood(text.strip()[:80], reason))

    def take(self, token: Token) -> None:
        """Take in the next token."""
        if token.sort is Sort.NUMBER:
            self._number(token)
        elif token.sort is Sort.WORD:
            self._word(token)
        elif token.sort is Sort.DASH:
            self.dash = self.after_reading
        elif token.sort is Sort.JUNK:
            self._unknown(token.text)

    def finish(self) -> None:
        """The end of the list."""
        self._drop_waiting()
        self._drop_place()
        self._flush()

    def _number(self, token: Token) -> None:
        self._flush()
        if self.place is not None and not token.is_pin:
            self._pair(token)
        elif self.dash and token.is_voltage and self.readings and self.readings[-1] is not None:
            self._widen(token)
        elif token.is_voltage:
            self._drop_waiting()
            self.waiting = token
        else:
            self._set_place(self._pin_numbered(token.text), token.text)
        self.dash = False

    def _pin_numbered(self, number: str) -> Spot | _Bare:
        number = number.lstrip("0") or "0"
        own = self.directory.pin(self.holder, number) if self.holder is not None else None
        return own or _Bare(number)

    def _pair(self, token: Token) -> None:
        place, text = self.place, f"{self.place_text} {token.text}"
        self.place, self.after_reading = None, True
        if not (isfinite(token.volts) and abs(token.volts) <= MOST_V):
            self.refuse(text, f"no voltage of a pedal; up to {MOST_V:g} V are taken")
        elif isinstance(place, _Bare):
            self.bare.append((len(self.readings), place))
            self.readings.append(Pasted(text=text, key="", net="", volts=token.volts))
        elif place is not None:
            self.readings.append(Pasted(text=text, key=place.key, net=place.net, volts=token.volts))

    def _widen(self, token: Token) -> None:
        last = self.readings[-1]
        if last is not None and isfinite(token.volts) and abs(token.volts) <= MOST_V and last.other_v is None:
            text = f"{last.text} to {token.text}"
            self.readings[-1] = replace(last, text=text, other_v=token.volts)
        else:
            self.refuse(token.text, "a voltage without a pin or net before it")

    def _word(self, token: Token) -> None:
        word = token.text.rstrip("-./#")
        if self.waiting is not None and word.lower() in BEFORE_PLACE:
            self.announced = True
            return
        meant = self.directory.meant(word, self.holder) if word else None
        self.after_reading = False
        if isinstance(meant, Spot):
            self._flush()
            self._set_place(meant, word)
        elif isinstance(meant, Holder):
            self._flush()
            self._drop_place()
            self.holder = meant
        elif (number := _numbered_pin(word)) is not None:
            self._flush()
            self._set_place(self._pin_numbered(number), word)
        elif word.lower() in PIN_WORDS:
            self._flush()
            self._drop_place()
        elif word.lower() not in FILLERS:
            self._unknown(token.text)

    def _unknown(self, text: str) -> None:
        self._drop_waiting()
        self._drop_place()
        self.words.append(text)

    def _set_place(self, place: Spot | _Bare, text: str) -> None:
        self._drop_place()
        self.place, self.place_text, self.after_reading = place, text, False
        if self.waiting is not None and self.announced:
            token, self.waiting, self.announced = self.waiting, None, False
            self._pair(token)
            return
        self._drop_waiting()

    def _drop_waiting(self) -> None:
        """A voltage that came before any place, and none came after it."""
        if self.waiting is not None:
            self.refuse(self.waiting.text, "a voltage without a pin or net before it")
        self.waiting, self.announced = None, False

    def _drop_place(self) -> None:
        if self.place is not None:
            self.refuse(self.place_text, "no voltage behind it")
            self.place = None

    def _flush(self) -> None:
        if self.words:
            self.refuse(" ".join(self.words), self._reason(self.words))
            self.words = []

    def _reason(self, words: Iterable[str]) -> str:
        for word in (one[:LONGEST_WORD] for one in words):
            for cut in range(len(word) - 1, 0, -1):
                holder = self.directory.meant(word[:cut], None)
                if isinstance(holder, Holder) and not word[cut].isalnum():
                    return f"{holder.part.ref} has no such pin; it has {_pin_names(holder)}"
        return "no pin, net or voltage of this circuit"

    def settle_bare(self) -> None:
        """Give the numbers without a chip to the chip they must belong to, or say why that cannot be."""
        chips = self.directory.chips_with({one.number for _, one in self.bare})
        for place, bare in self.bare:
            reading = self.readings[place]
            chip = self._one_of(chips or self.directory.chips_with((bare.number,)))
            spot = self.directory.pin(Holder(chip), bare.number) if chip is not None else None
            if spot is not None and reading is not None:
                self.readings[place] = replace(reading, key=spot.key, net=spot.net)
                continue
            self.readings[place] = None
            self.refuse(reading.text if reading else bare.number, self._which_chip(bare.number))

    def _one_of(self, chips: tuple[Part, ...]) -> Part | None:
        """The only chip there is, or the only echo chip among several, which is then noted."""
        if len(chips) == 1:
            return chips[0]
        echoes = [chip for chip in chips if device(chip.kind).family == "echo-chip"]
        if len(echoes) != 1:
            return None
        others = ", ".join(chip.ref for chip in chips if chip is not echoes[0])
        self.notes.append(
            f"Pin numbers without a chip are taken as those of {echoes[0].ref}, the echo chip; "
            f"name the chip if they were read on {others}."
        )
        return echoes[0]

    def _which_chip(self, number: str) -> str:
        fitting = self.directory.chips_with((number,))
        if not fitting:
            return f"no chip here has a pin {number}"
        names = " or ".join(chip.ref for chip in fitting)
        return f"pin {number} of which chip? {names}; write {fitting[0].ref}.{number}, or name the chip"


def _numbered_pin(word: str) -> str | None:
    """The number in ``pin3``, ``p6``; None for other words."""
    for start in ("pin", "leg", "p"):
        rest = word.lower().removeprefix(start).lstrip("_.#-")
        if rest != word.lower() and rest.isascii() and rest.isdigit():
            return rest
    return None


def _pin_names(holder: Holder) -> str:
    pins = device(holder.part.kind).pins_for(holder.part)
    return ", ".join(pin.name for pin in pins)
