"""Options that more than one source takes, said once."""

from pedalwright.sound.sources.source import LONGEST_S, Option, Reader, Value
from pedalwright.units.values import Quantity, ValueMistake, parse_value

INPUTS_LEVEL = "the input's level"
HIGHEST_V = 100.0


def reader(quantity: Quantity) -> Reader:
    """Reads one value of a quantity."""
    return lambda text: parse_value(text, quantity)


def read_seed(text: str) -> Value:
    """A whole number from nought up."""
    word = text.strip()
    if not (word.isascii() and word.isdigit() and len(word) <= 9):
        raise ValueMistake(f"'{word[:24]}' is not a whole number.", "Write digits only, such as 7.")
    return float(int(word))


def seconds(usual: str, *, highest_s: float = LONGEST_S) -> Option:
    """How long the sound lasts."""
    return Option(name="seconds", says="how long it lasts", read=reader(Quantity.TIME), usual=usual,
                  example="3s", lowest=0.01, highest=highest_s, unit="s")  # fmt: skip


LEVEL = Option(
    name="level", says="its largest value, in volts from zero", read=reader(Quantity.VOLTAGE),
    usual=INPUTS_LEVEL,
    example="200mV", lowest=1e-6, highest=HIGHEST_V, unit="V",
)  # fmt: skip

SEED = Option(
    name="seed", says="which throw of the dice; the same seed gives the same sound", read=read_seed,
    usual="1", example="7", lowest=0, highest=999_999_999, unit="",
)  # fmt: skip

DECAY = Option(
    name="decay", says="time in which the lowest string's fundamental dies away by 60 dB",
    read=reader(Quantity.TIME), usual="4s", example="2s", lowest=0.05, highest=60.0, unit="s",
)  # fmt: skip

PICK = Option(
    name="pick", says="where the pick meets the string, as a share of its length",
    read=reader(Quantity.FRACTION), usual="15%", example="10%", lowest=0.01, highest=0.5, unit="%",
)  # fmt: skip

STROKE = Option(
    name="stroke", says="how hard: corner of the low-pass on the pick's noise; lower is softer and duller",
    read=reader(Quantity.FREQUENCY), usual="3kHz", example="1kHz", lowest=100.0, highest=20e3, unit="Hz",
)  # fmt: skip
