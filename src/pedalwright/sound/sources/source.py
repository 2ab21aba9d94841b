"""What a built-in sound is: a name, the options it takes, and how its volts are made."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from pedalwright.solve.arrays import FloatArray

Value = float | tuple[float, ...]
Reader = Callable[[str], Value]
"""From what was written to a value in base units; raises `pedalwright.units.values.ValueMistake` for what
it is not.
"""

LONGEST_S = 60.0
"""built-in sounds are held whole in memory"""
LOWEST_RATE_HZ, HIGHEST_RATE_HZ = 8000.0, 1.536e6
"""the rates [frames per second] a sound is made at; the upper one is eight times 192 kHz"""
TOP_SHARE = 0.46
"""of the rate: nothing a source makes lies above, so that 20 kHz fits into 44.1 kHz and nothing folds back"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One thing that can be said about a source: ``seconds=3s``.

    `usual` is what is taken when nothing is said, as it would be written. The value, or each of its values,
    must lie within `lowest`..`highest` [`unit`].
    """

    name: str
    says: str
    read: Reader
    usual: str
    example: str
    lowest: float
    highest: float
    unit: str


class Settings:
    """The values of a source's options, each asked for as what it is."""

    __slots__ = ("_values",)

    def __init__(self, values: Mapping[str, Value]) -> None:
        self._values = dict(values)

    def number(self, name: str) -> float:
        """A single value [base unit]."""
        value = self._values[name]
        if isinstance(value, tuple):
            raise TypeError(f"{name} is a row of values")
        return value

    def numbers(self, name: str) -> tuple[float, ...]:
        """A row of values [base unit]."""
        value = self._values[name]
        return value if isinstance(value, tuple) else (value,)


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """A built-in sound.

    `options[0]` is the one written after the colon (``pluck:E2``) when `has_main`. `make` gives the volts
    (frames,) of some settings at a rate [Hz], the largest of them `level` volts from zero; the same call
    always gives the same volts. `highest_hz` tells the highest frequency [Hz] in the sound, where the rate
    has to have room for one.
    """

    name: str
    says: str
    options: tuple[Option, ...]
    make: Callable[[Settings, float], FloatArray]
    source: str
    has_main: bool = True
    highest_hz: Callable[[Settings], float] = lambda settings: 0.0
    mistake: Callable[[Settings], str] = lambda settings: ""
    """what is wrong with values that are each right by themselves: a sentence, or nothing"""

    def option(self, name: str) -> Option | None:
        """The option of that name."""
        return next((option for option in self.options if option.name == name), None)
