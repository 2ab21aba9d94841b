"""Figures of the echo chip that its expansion and the echo layer use, each with where it comes from."""

from pedalwright.devices.device import Figure
from pedalwright.devices.part_facts import ASSUMPTION

_SHEET = "maker's data sheet, Echo Processor IC, V1.6, February 2010"
_FITTED = "seven-constant model fitted to published measurements of one unit, 2021"
_READING = "one published set of pin readings of a working unit, 2019"


def _figure(value: float, source: str) -> Figure:
    return Figure(value=value, source=source)


FIGURES = {
    "supply_a": _figure(15e-3, f"{_SHEET}: typical at 5 V, 4 MHz"),
    "most_supply_a": _figure(30e-3, f"{_SHEET}: maximum"),
    "least_supply_v": _figure(4.5, f"{_SHEET}: recommended"),
    "nominal_supply_v": _figure(5.0, f"{_SHEET}: recommended"),
    "most_supply_v": _figure(5.5, f"{_SHEET}: recommended"),
    "destructive_supply_v": _figure(6.5, f"{_SHEET}: absolute maximum"),
    "destructive_supply_a": _figure(0.1, f"{_SHEET}: absolute maximum"),
    "most_w": _figure(1.7, f"{_SHEET}: absolute maximum"),
    "reference_ohms": _figure(5.5e3, "published measurement at pin 2, 2021; another says around 6 kohm"),
    "integrator_ohms": _figure(4.7e3, f"{_SHEET}: block diagram"),
    "time_pin_ohms": _figure(29.70 / 11.46 * 1e3, "fit of the delay table: 29.70 ms over 11.46 ms/kohm"),
    "delay_s_per_ohm": _figure(11.46e-6, "least squares on the 28 rows of the delay table; Wiltshire 2015"),
    "least_delay_s": _figure(29.70e-3, "least squares on the 28 rows of the delay table; Wiltshire 2015"),
    "least_start_ohms": _figure(1e3, f"{_SHEET}: note 5, clock may not start below it"),
    "safe_start_ohms": _figure(2e3, "common practice, no source"),
    "output_swing_v": _figure(1.77, f"{_SHEET}: 1.25 V rms typical at 10 % distortion, as a peak"),
    "least_output_swing_v": _figure(1.414, f"{_SHEET}: 1.0 V rms minimum, as a peak"),
    "through_gain_db": _figure(-0.5, f"{_SHEET}: typical, 47 kohm load"),
    "most_through_gain_db": _figure(2.5, f"{_SHEET}: maximum, 47 kohm load"),
    "noise_dbv": _figure(-90.0, f"{_SHEET}: typical, A-weighted, 4 MHz"),
    "most_noise_dbv": _figure(-80.0, f"{_SHEET}: maximum, A-weighted, 4 MHz"),
    "supply_rejection_db": _figure(40.0, f"{_SHEET}: typical, 100 Hz"),
    "memory_bits": _figure(44_000.0, f"{_SHEET}: 44 Kbit"),
    "full_step_a": _figure(1.1e-3, "fitted to published slew measurements, 2021"),
    "slope_a": _figure(1.05e-3, "published slew measurements, 2021: slope limit times capacitance"),
    "store_v": _figure(0.92, f"{_READING}: pins 7 and 8 at a supply of 4.97 V"),
    "store_supply_v": _figure(4.97, _READING),
    "store_ohms": _figure(35e3, "decay of the step store fitted to one published trace, 2021"),
    "least_step_a": _figure(10e-6, f"{_FITTED}: 5 to 20 uA, geometric mean taken (house choice)"),
    "attack_ohms": _figure(
        7.07e3, f"{_FITTED}: 5 to 10 kohm times the store's capacitor, geometric mean taken (house choice)"
    ),
    "decay_ohms": _figure(35e3, "decay of the step store fitted to one published trace, 2021"),
    "equal_bits": _figure(3.0, f"{_FITTED}: of 3, 4 and 5 the nearest on distortion and noise"),
    "comparator_offset_v": _figure(
        2.24e-3, "house choice: geometric mean of the 1 to 5 mV that idle noise of -90 to -70 dBV asks for"
    ),
    "comparator_noise_v": _figure(
        0.1e-3, f"{ASSUMPTION}: rms, of a CMOS comparator over its whole band; published nowhere"
    ),
    "integrator_swing_v": _figure(
        2.3, f"{ASSUMPTION}: where the coder's integrator stops, 0.2 V short of half of 5 V"
    ),
    "clock_ohms": _figure(5e3, f"{ASSUMPTION}: pin 5 as a meter averages it, half the supply"),
    "amplifier_gain": _figure(1e4, ASSUMPTION),
    "amplifier_noise_v_per_root_hz": _figure(
        30e-9, f"{ASSUMPTION}: of a plain CMOS amplifier; published is only the noise of the whole chip"
    ),
    "amplifier_noise_corner_hz": _figure(500.0, f"{ASSUMPTION}: of a plain CMOS amplifier"),
    "amplifier_gain_bandwidth_hz": _figure(5e6, ASSUMPTION),
}
"""name -> figure, SI units"""

DELAY_TABLE = (
    (27.6e3, 2.0e6, 342e-3, 1.0), (21.3e3, 2.5e6, 273e-3, 0.8), (17.2e3, 3.0e6, 228e-3, 0.63),
    (14.3e3, 3.5e6, 196e-3, 0.53), (12.1e3, 4.0e6, 171e-3, 0.46), (10.5e3, 4.5e6, 151e-3, 0.41),
    (9.2e3, 5.0e6, 136.6e-3, 0.36), (8.2e3, 5.5e6, 124.1e-3, 0.33), (7.2e3, 6.0e6, 113.7e-3, 0.29),
    (6.4e3, 6.5e6, 104.3e-3, 0.27), (5.8e3, 7.0e6, 97.1e-3, 0.25), (5.4e3, 7.5e6, 92.2e-3, 0.25),
    (4.9e3, 8.0e6, 86.3e-3, 0.23), (4.5e3, 8.5e6, 81e-3, 0.22), (4.0e3, 9.0e6, 75.9e-3, 0.21),
    (3.4e3, 10e6, 68.1e-3, 0.19), (2.8e3, 11e6, 61.6e-3, 0.18), (2.4e3, 12e6, 56.6e-3, 0.16),
    (2.0e3, 13e6, 52.3e-3, 0.15), (1.67e3, 14e6, 48.1e-3, 0.15), (1.47e3, 15e6, 45.8e-3, 0.15),
    (1.28e3, 16e6, 43e-3, 0.15), (1.08e3, 17e6, 40.6e-3, 0.14), (894.0, 18e6, 38.5e-3, 0.14),
    (723.0, 19e6, 36.6e-3, 0.14), (519.0, 20e6, 34.4e-3, 0.13), (288.0, 21e6, 32.6e-3, 0.13),
    (0.5, 22e6, 31.3e-3, 0.13),
)  # fmt: skip
"""Ohms from pin 6 to ground, clock [Hz], delay [s], distortion [%]: the maker's table, V1.6, page 4."""
