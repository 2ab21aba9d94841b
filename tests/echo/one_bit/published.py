"""Every figure published about the sound of the echo chip that the model can be held against.

`python -m tests.echo.one_bit.published` writes the table of docs/echo-chip-sound.md again.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from pedalwright.echo.one_bit.one_chip import OneChip
from tests.echo.one_bit.measuring import (
    DBU_V,
    edge_v_per_us,
    gain_db,
    idle_dbv,
    level_at_distortion_v,
    steady_slope_v_per_us,
    tone,
)

PAGE = Path(__file__).resolve().parents[3] / "docs" / "echo-chip-sound.md"
BEGIN, END = "<!-- measured: begin -->", "<!-- measured: end -->"
SHEET = "data sheet"
STUDY = "capacitor study, 2021"
TEMPO = "tempo module, 2025"

TYPICAL = OneChip()
SHORT_S, LONG_S = 31.3e-3, 280e-3
QUIET_V, LOUD_V = DBU_V * 10 ** (-10 / 20), DBU_V


@dataclass(frozen=True, slots=True, kw_only=True)
class Published:
    """One published figure, how ours is measured, and what is asserted of it.

    `within` bounds the deviation: a difference for figures in dB, else a factor either way. `steady` is by
    how much two machines may differ, for these are sums over a chaotic stream of bits. Ours may be as far
    below as it likes where `at_most` is set: the model lacks what makes the published figure.
    """

    what: str
    value: float
    unit: str
    source: str
    measure: Callable[[], float]
    within: float
    steady: float
    at_most: bool = False

    @property
    def in_db(self) -> bool:
        """Whether deviations are differences in dB, not factors."""
        return self.unit.startswith("dB")

    def holds(self, ours: float) -> bool:
        """Whether the deviation is within its bound."""
        return alike(ours, self.value, self.within, in_db=self.in_db) or (self.at_most and ours < self.value)


def alike(one: float, other: float, within: float, *, in_db: bool) -> bool:
    """Whether two figures differ by no more than so many dB, or than a factor either way."""
    return abs(one - other) <= within if in_db else max(one / other, other / one) <= within


def integrators(nanofarads: float) -> OneChip:
    return replace(TYPICAL, coder_farads=nanofarads * 1e-9)


def stores(nanofarads: float) -> OneChip:
    return replace(TYPICAL, coder_store_farads=nanofarads * 1e-9, decoder_store_farads=nanofarads * 1e-9)


SETS = {
    "10 nF": integrators(10),
    "47 nF": integrators(47),
    "100 nF": TYPICAL,
    "220 nF": integrators(220),
    "stores 1 nF": stores(1),
    "stores 1 µF": stores(1000),
}
SLEW = {
    "10 nF": 0.039,
    "47 nF": 0.014,
    "100 nF": 0.0080,
    "220 nF": 0.0041,
    "stores 1 nF": 0.0099,
    "stores 1 µF": 0.0080,
}
SHORT_PERCENT = {
    "10 nF": (0.165, 0.256), "47 nF": (0.052, 0.120), "100 nF": (0.043, 0.110), "220 nF": (0.041, 0.102),
    "stores 1 nF": (0.108, 0.149), "stores 1 µF": (0.033, 0.104),
}  # fmt: skip
LONG_PERCENT = {
    "10 nF": (2.01, 4.33), "47 nF": (0.324, 1.90), "100 nF": (0.234, 1.56), "220 nF": (0.128, 1.58),
    "stores 1 nF": (0.612, 2.12), "stores 1 µF": (0.210, 1.53),
}  # fmt: skip


def _edge(name: str, value: float) -> Published:
    return Published(
        what=f"slope of a 1 V step, {name}",
        value=value,
        unit="V/µs",
        source=STUDY,
        measure=lambda: edge_v_per_us(SETS[name]),
        within=1.4,
        steady=1.05,
    )


def _thd(name: str, delay_s: float, value: float) -> Published:
    return Published(
        what=f"THD, 1 kHz, -10 dBu, {delay_s * 1e3:.0f} ms, {name}",
        value=value,
        unit="%",
        source=STUDY,
        measure=lambda: tone(QUIET_V, 1000, delay_s, SETS[name]).harmonics_percent,
        within=2.7,
        steady=2.0,
        at_most=delay_s == SHORT_S,
    )


def _thd_n(name: str, delay_s: float, value: float) -> Published:
    return Published(
        what=f"THD+N, 1 kHz, -10 dBu, {delay_s * 1e3:.0f} ms, {name}",
        value=value,
        unit="%",
        source=STUDY,
        measure=lambda: tone(QUIET_V, 1000, delay_s, SETS[name]).rest_percent,
        within=1.6 if delay_s == LONG_S else 2.6,
        steady=1.1,
    )


def _against_1_khz(rms_v: float, frequency_hz: float) -> float:
    return gain_db(rms_v, frequency_hz, SHORT_S, TYPICAL) - gain_db(rms_v, 1000, SHORT_S, TYPICAL)


def shelf_db(coder_nf: float, decoder_nf: float) -> float:
    """What unequal integrators do from bass to treble, small enough for any slope."""
    chip = integrators(coder_nf)
    low, high = (
        gain_db(QUIET_V / 10, at, SHORT_S, chip, decoder_farads=decoder_nf * 1e-9) for at in (20, 8000)
    )
    return high - low


def idle_rise_db(from_s: float, to_s: float) -> float:
    return idle_dbv(to_s, TYPICAL, weighted=False) - idle_dbv(from_s, TYPICAL, weighted=False)


def tone_rise_db(from_s: float, to_s: float) -> float:
    """The rise of what stands beside a tone."""
    short, long = (tone(QUIET_V, 1000, at, TYPICAL).rest_percent for at in (from_s, to_s))
    return float(20 * np.log10(long / short))


def _level(
    what: str,
    value: float,
    measure: Callable[[], float],
    within: float,
    source: str = STUDY,
    unit: str = "dB",
) -> Published:
    steady = 0.6 if source is not STUDY else 0.1
    return Published(
        what=what, value=value, unit=unit, source=source, measure=measure, within=within, steady=steady
    )


LEVELS = (
    Published(
        what="steepest steady slope, 100 nF",
        value=0.0105,
        unit="V/µs",
        source=f"{STUDY}: 0.0105 to 0.012, from response plots",
        measure=lambda: steady_slope_v_per_us(TYPICAL),
        within=1.1,
        steady=1.03,
    ),
    _level("10 kHz, -10 dBu, against 1 kHz", -4.2, lambda: _against_1_khz(QUIET_V, 10_000), 1.0),
    _level("4 kHz, 0 dBu, against 1 kHz", -5.2, lambda: _against_1_khz(LOUD_V, 4000), 1.0),
    _level("shelf, coder 100 nF, decoder 47 nF", 6.5, lambda: shelf_db(100, 47), 0.2),
    _level("shelf, coder 47 nF, decoder 100 nF", -6.5, lambda: shelf_db(47, 100), 0.2),
    _level("gain, 1 kHz, -10 dBu, 171 ms", -0.5, lambda: gain_db(QUIET_V, 1000, 171e-3, TYPICAL), 0.2, SHEET),
    _level(
        "idle noise, A-weighted, 171 ms",
        -90.0,
        lambda: idle_dbv(171e-3, TYPICAL, weighted=True),
        10.0,
        f"{SHEET}: typical; -95 to -80",
        "dBV",
    ),
    _level("rise of the noise, 52 to 600 ms, idle", 27.0, lambda: idle_rise_db(52e-3, 600e-3), 8.0, TEMPO),
    _level("the same beside 1 kHz, -10 dBu", 27.0, lambda: tone_rise_db(52e-3, 600e-3), 8.0, TEMPO),
)
TABLE_1_PERCENT = {31.3e-3: 0.13, 104.3e-3: 0.27, 171e-3: 0.46, 228e-3: 0.63, 342e-3: 1.0}


def _maker(
    what: str, value: float, measure: Callable[[], float], unit: str = "%", more: str = ""
) -> Published:
    return Published(
        what=what, value=value, unit=unit, source=SHEET + more, measure=measure, within=2.0, steady=1.1
    )


def _table_1(delay_s: float, value: float) -> Published:
    return _maker(
        f"distortion, A-weighted, 0.5 V, 1 kHz, {delay_s * 1e3:.0f} ms",
        value,
        lambda: tone(0.5, 1000, delay_s, TYPICAL, weighted=True).rest_percent,
        more=": table 1, behind filters",
    )


MAKERS = (
    replace(_table_1(SHORT_S, TABLE_1_PERCENT[SHORT_S]), at_most=True),
    *(_table_1(delay_s, value) for delay_s, value in TABLE_1_PERCENT.items() if delay_s != SHORT_S),
    _maker(
        "1 kHz at 10 % distortion, 171 ms",
        1.25,
        lambda: level_at_distortion_v(10.0, 171e-3, TYPICAL),
        "V rms",
        ": typical; 1.0 to 1.5",
    ),
)
CHECKS = (
    *(_edge(name, value) for name, value in SLEW.items()),
    *(_thd(name, SHORT_S, pair[0]) for name, pair in SHORT_PERCENT.items()),
    *(_thd_n(name, SHORT_S, pair[1]) for name, pair in SHORT_PERCENT.items()),
    *(_thd(name, LONG_S, pair[0]) for name, pair in LONG_PERCENT.items()),
    *(_thd_n(name, LONG_S, pair[1]) for name, pair in LONG_PERCENT.items()),
    *LEVELS,
    *MAKERS,
)


def figure(value: float, unit: str) -> str:
    """As the table prints it."""
    return f"{value:+.1f} {unit}" if unit.startswith("dB") else f"{value:.3g} {unit}"


def row(check: Published, ours: float) -> str:
    deviation = f"{ours - check.value:+.1f} dB" if check.in_db else f"{100 * (ours / check.value - 1):+.0f} %"
    cells = (check.what, figure(check.value, check.unit), figure(ours, check.unit), deviation, check.source)
    return f"| {' | '.join(cells)} |"


def table() -> str:
    head = "| what | published | ours | deviation | source |\n|---|---|---|---|---|\n"
    return head + "\n".join(row(check, check.measure()) for check in CHECKS)


def printed() -> dict[str, float]:
    """What the page says is ours, by the words of the row."""
    lines = PAGE.read_text(encoding="utf-8").split(BEGIN)[1].split(END)[0].strip().splitlines()[2:]
    rows = [[cell.strip() for cell in line.strip("| ").split(" | ")] for line in lines]
    return {cells[0]: float(cells[2].split()[0]) for cells in rows}


def write() -> None:
    text = PAGE.read_text(encoding="utf-8")
    fresh = f"{BEGIN}\n{table()}\n{END}"
    PAGE.write_text(re.sub(f"{BEGIN}.*{END}", lambda _: fresh, text, flags=re.DOTALL), encoding="utf-8")


if __name__ == "__main__":
    write()
