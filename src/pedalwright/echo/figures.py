"""Every figure of the echo chip the analysis uses, each with the kind of source it rests on."""

from dataclasses import dataclass
from enum import Enum

from pedalwright.devices.kinds.echo_chip import FIGURES


class Mark(Enum):
    """What a figure rests on."""

    DATA_SHEET = "data sheet"
    MEASUREMENT = "measurement"
    COMMON_PRACTICE = "common practice"
    MEMORY = "memory"
    COMPUTED = "computed"
    """from figures with one of the other marks"""


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkedFigure:
    """One figure in SI units (or the unit named), what it rests on, and where it was found."""

    name: str
    value: float
    unit: str
    mark: Mark
    source: str


def _of_device(key: str, name: str, unit: str, mark: Mark) -> MarkedFigure:
    figure = FIGURES[key]
    return MarkedFigure(name=name, value=figure.value, unit=unit, mark=mark, source=figure.source)


def _new(name: str, value: float, unit: str, mark: Mark, source: str) -> MarkedFigure:
    return MarkedFigure(name=name, value=value, unit=unit, mark=mark, source=source)


_TEMPO = "measurements on a published tempo module, 2025"
_SHEET, _MEASURED = Mark.DATA_SHEET, Mark.MEASUREMENT
_SHEET_SOURCE = "maker's data sheet, Echo Processor IC, V1.6, February 2010"

MARKED = {
    "least_supply_v": _of_device("least_supply_v", "supply, at least", "V", _SHEET),
    "nominal_supply_v": _of_device("nominal_supply_v", "supply", "V", _SHEET),
    "most_supply_v": _of_device("most_supply_v", "supply, at most", "V", _SHEET),
    "destructive_supply_v": _of_device("destructive_supply_v", "supply that destroys it", "V", _SHEET),
    "supply_a": _of_device("supply_a", "supply current at 4 MHz", "A", _SHEET),
    "most_supply_a": _of_device("most_supply_a", "supply current, at most", "A", _SHEET),
    "through_gain_db": _of_device("through_gain_db", "gain from coder to decoder", "dB", _SHEET),
    "most_through_gain_db": _of_device("most_through_gain_db", "the same, at most", "dB", _SHEET),
    "noise_dbv": _of_device("noise_dbv", "noise at 4 MHz, A-weighted", "dBV", _SHEET),
    "most_noise_dbv": _of_device("most_noise_dbv", "the same, at most", "dBV", _SHEET),
    "least_noise_dbv": _new("the same, at least", -95.0, "dBV", _SHEET, _SHEET_SOURCE),
    "noise_delay_s": _new("delay the noise is stated at", 171e-3, "s", _SHEET, f"{_SHEET_SOURCE}: table 1"),
    "noise_db_per_decade": _new(
        "rise of the noise for ten times the delay",
        26.0,
        "dB",
        _MEASURED,
        f"{_TEMPO}: 27 dB from 52 to 600 ms",
    ),
    "output_swing_v": _of_device("output_swing_v", "largest peak in and out", "V", _SHEET),
    "least_output_swing_v": _of_device("least_output_swing_v", "the same, at least", "V", _SHEET),
    "supply_rejection_db": _of_device("supply_rejection_db", "supply rejection", "dB", _SHEET),
    "integrator_ohms": _of_device("integrator_ohms", "integrator resistors", "ohm", _SHEET),
    "memory_bits": _of_device("memory_bits", "memory", "bit", _SHEET),
    "reference_ohms": _of_device("reference_ohms", "resistance behind pin 2", "ohm", _MEASURED),
    "slope_a": _of_device("slope_a", "steepest slope times integrator capacitor", "A", _MEASURED),
    "time_pin_ohms": _of_device("time_pin_ohms", "resistance behind pin 6", "ohm", Mark.COMPUTED),
    "delay_s_per_ohm": _of_device("delay_s_per_ohm", "delay for each ohm at pin 6", "s/ohm", Mark.COMPUTED),
    "least_delay_s": _of_device(
        "least_delay_s", "delay at no resistance, by the fitted law", "s", Mark.COMPUTED
    ),
    "clock_cycles": _new(
        "clock cycles in a delay", 683.21e3, "", Mark.COMPUTED, "fit of table 1; Wiltshire 2015"
    ),
    "clock_lag_s": _new(
        "delay beside those cycles", 0.08e-3, "s", Mark.COMPUTED, "fit of table 1; Wiltshire 2015"
    ),
    "unit_spread": _new(
        "spread of the delay from chip to chip, either way",
        0.048,
        "",
        _MEASURED,
        f"{_TEMPO}: 700 to 770 ms alike set",
    ),
    "distortion_floor": _new(
        "distortion at short delays", 0.093, "%", Mark.COMPUTED, "fit of table 1, to 12 %"
    ),
    "distortion_per_s": _new(
        "distortion for each second", 2.56, "%/s", Mark.COMPUTED, "fit of table 1, to 12 %"
    ),
    "least_start_ohms": _of_device("least_start_ohms", "least resistance at switch-on", "ohm", _SHEET),
    "safe_start_ohms": _of_device(
        "safe_start_ohms", "safe resistance at switch-on", "ohm", Mark.COMMON_PRACTICE
    ),
    "mute_s": _new("silence after switch-on", 0.4, "s", _SHEET, f"{_SHEET_SOURCE}: page 4"),
    "most_time_ohms": _new(
        "resistance at pin 6 above which it gets noisy", 50e3, "ohm", Mark.COMMON_PRACTICE, "about 630 ms"
    ),
    "clean_delay_s": _new("delay up to which it sounds clean", 0.3, "s", Mark.COMMON_PRACTICE, "no source"),
    "useful_delay_s": _new("delay up to which it is used", 0.8, "s", Mark.COMMON_PRACTICE, "no source"),
    "ugly_delay_s": _new("delay past which it sounds ugly", 1.0, "s", Mark.COMMON_PRACTICE, "no source"),
}
"""key -> figure"""

SUPPLY_SHIFT_S = ((4.6, 7e-3), (4.8, 3e-3), (5.0, 0.0), (5.2, 4e-3), (5.4, 8e-3))
"""Supply [V], and by how much a delay of 50 to 600 ms was off at most [s], calibrated at 5.00 V: the
tempo module.
"""
ROOM_C = 24.0
TEMPERATURE_SHIFT_S = ((10.0, 2e-3), (ROOM_C, 0.0), (40.0, 3e-3))
"""Temperature [deg C], and the same: the tempo module."""
SHIFT_MARK = _MEASURED
"""what both rest on"""


def value(key: str) -> float:
    """The value of a figure; KeyError for none."""
    return MARKED[key].value
