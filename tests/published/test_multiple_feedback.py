"""Multiple-feedback filters of handbooks, part by part, against their printed and exact responses."""

import pytest

from tests.published.bench import Check, levels, modes
from tests.published.stages import circuit, mfb_band_pass, mfb_high_pass, mfb_low_pass

OAFE = "Op Amps for Everyone, ch. 16"
FRANCO = "Franco, Design with Operational Amplifiers, 3rd ed."
GAYAKWAD = "Gayakwad, Op-Amps and Linear Integrated Circuits"
COUGHLIN = "Coughlin and Driscoll, Operational Amplifiers"
FLOYD = "Floyd, Electronic Devices"
FORMULA = "Op Amps for Everyone, ch. 16, formulas of the multiple-feedback stage"


def band(*parts: str) -> str:
    return circuit(mfb_band_pass(1, "IN", "OUT", *parts))


def low(*parts: str) -> str:
    return circuit(mfb_low_pass(1, "IN", "OUT", *parts))


F4 = band("7957.747", "80.38128", "31830.99", "100n")
F4_PRINTED = band("7.96k", "80.4", "31.8k", "100n")
F5 = band("15915.494", "837.65758", "318309.89", "10n")
F5_PRINTED = band("15.92k", "837.7", "318.3k", "10n")
F6 = low("1193.662", "2387.324", "530.51648", "200n", "1n")
F6_PRINTED = low("1.194k", "2.387k", "530.5", "200n", "1n")
F15 = band("4774.6483", "5968.3104", "95492.966", "10n")
F15_PRINTED = band("4.77k", "5.97k", "95.49k", "10n")
F15_SHUNT_ONLY = band("4774.6483", "2652.5824", "95492.966", "10n")
F15_RIGHT_SHUNT = band("4774.6483", "1565.46", "95492.966", "10n")
F21 = band("21220.66", "3031.523", "42441.32", "15n")
F21_PRINTED = band("21.21k", "3.03k", "42.42k", "15n")
F22 = band("40190.64", "201.963", "80381.28", "0.33u")
F22_PRINTED = band("40.2k", "201.9", "80.4k", "0.33u")
F23 = band("68k", "2.7k", "180k", "10n")
F28_ONE = low("14812.48", "14812.48", "16538.34", "22n", "4.7n")
F28_OTHER = low("33076.69", "33076.69", "7406.24", "22n", "4.7n")
F29 = low("10k", "10k", "10k", "5.6n", "560p")
F30 = circuit(mfb_high_pass(1, "IN", "OUT", "10n", "7502.64", "33761.9"))


def gain_at(source: str, text: str, hertz: float, gain: float, rel: float = 1e-4) -> Check:
    """Gain with its sign, where it is real."""
    return Check(
        source=source,
        says=f"gain at {hertz:g} Hz",
        text=text,
        exact=gain,
        rel=rel,
        asks=lambda made: made.transfer(hertz).real,
    )


def edge(source: str, text: str, place: int, hertz: float, printed: str = "", over_db: float = 0.0) -> Check:
    """One -3.0103 dB edge of a band-pass whose middle lies at `over_db`."""
    return Check(
        source=source,
        says=f"edge {place + 1}",
        text=text,
        exact=hertz,
        printed=printed,
        asks=lambda made: made.corner_hz(hertz / 3, hertz * 3, over_db, place),
    )


CHECKS = [
    *modes(f"{OAFE}, Example 16-5 (values from memory, recomputed)", F4, [(1000.0, 10.0)]),
    *levels(f"{OAFE}, Example 16-5", F4, {900: -1.3488, 1100: -0.6489}),
    gain_at(f"{OAFE}, Example 16-5", F4, 1000.0, -2.0),
    *modes(f"{OAFE}, Example 16-5, R as printed to three digits", F4_PRINTED, [(1000.0, 10.0)], rel=1e-3),
    *modes(f"{FRANCO}, Ex. 3.15", F5, [(1000.0, 10.0)]),
    *levels(
        f"{FRANCO}, Ex. 3.15", F5, {500: -3.5411, 950: 16.8754, 1000: 20.0, 1051.25: 16.9896, 2000: -3.5411}
    ),
    *modes(f"{FRANCO}, Ex. 3.15, R as printed", F5_PRINTED, [(1000.0, 10.0)], rel=2e-4),
    *modes(f"{FRANCO}, Ex. 3.16", F6, [(10e3, 4.0)]),
    *levels(f"{FRANCO}, Ex. 3.16", F6, {100: 6.0214, 5e3: 8.4004, 10e3: 18.0618, 20e3: -3.6408}),
    gain_at(f"{FRANCO}, Ex. 3.16", F6, 1.0, -2.0),
    *modes(f"{FRANCO}, Ex. 3.16, R as printed", F6_PRINTED, [(10e3, 4.0)], rel=3e-4),
    *modes(f"{GAYAKWAD}, Ex. 7.8a", F15, [(1000.0, 3.0)]),
    gain_at(f"{GAYAKWAD}, Ex. 7.8a", F15, 1000.0, -10.0),
    *modes(f"{GAYAKWAD}, Ex. 7.8a, R as printed", F15_PRINTED, [(1000.22, 3.00058)]),
    *levels(
        f"{GAYAKWAD}, Ex. 7.8a, R as printed", F15_PRINTED, {500: 6.72993, 1000: 20.00818, 2000: 6.73609}
    ),
    # The book expects 1500 Hz from this shunt; its rule holds only for a shunt far below the input resistor.
    *modes(f"{GAYAKWAD}, Ex. 7.8b as it really is", F15_SHUNT_ONLY, [(1247.22, 3.74166)]),
    *levels(f"{GAYAKWAD}, Ex. 7.8b as it really is", F15_SHUNT_ONLY, {1000: 14.22764, 1500: 15.33279}),
    *modes(f"{GAYAKWAD}, Ex. 7.8b put right", F15_RIGHT_SHUNT, [(1500.0, 4.5)]),
    gain_at(f"{GAYAKWAD}, Ex. 7.8b put right", F15_RIGHT_SHUNT, 1500.0, -10.0),
    *modes(f"{COUGHLIN}, Ex. 11.15", F21, [(1000.0, 2.0)]),
    edge(f"{COUGHLIN}, Ex. 11.16", F21, 0, 780.776, "780.8"),
    edge(f"{COUGHLIN}, Ex. 11.16", F21, 1, 1280.776, "1280.8"),
    *modes(f"{COUGHLIN}, Ex. 11.15, R as printed", F21_PRINTED, [(1000.0, 2.0)], rel=6e-4),
    *modes(f"{COUGHLIN}, Ex. 11.17", F22, [(120.0, 10.0)]),
    gain_at(f"{COUGHLIN}, Ex. 11.17", F22, 120.0, -1.0),
    *modes(f"{COUGHLIN}, Ex. 11.17, R as printed", F22_PRINTED, [(120.0, 10.0)], rel=3e-4),
    *modes(f"{FLOYD}, Ex. 15.6", F23, [(736.1346, 4.16274)]),
    Check(
        source=f"{FLOYD}, Ex. 15.6", says="f0", text=F23, asks=lambda made: made.mode(0)[0], printed="736.13"
    ),
    Check(
        source=f"{FLOYD}, Ex. 15.6",
        says="gain in the middle",
        text=F23,
        exact=1.323529,
        printed="1.3235",
        asks=lambda made: abs(made.transfer(736.1346)),
    ),
    Check(
        source=f"{FLOYD}, Ex. 15.6",
        says="bandwidth",
        text=F23,
        exact=176.8388,
        printed="176.84",
        asks=lambda made: made.mode(0)[0] / made.mode(0)[1],
    ),
    *levels(f"{FLOYD}, Ex. 15.6", F23, {500: -8.3201, 1000: -6.4363}),
    *modes(f"{FORMULA}, smaller root", F28_ONE, [(1000.0, 0.707107)]),
    *modes(f"{FORMULA}, larger root", F28_OTHER, [(1000.0, 0.707107)]),
    gain_at(f"{FORMULA}, larger root", F28_OTHER, 1.0, -1.0),
    *modes(f"{FORMULA}, all resistors equal", F29, [(8987.36, 1.05409)]),
    *levels(f"{FORMULA}, all resistors equal", F29, {100: 0.0006, 10e3: -0.6852}),
    *modes(f"{FORMULA}, high-pass", F30, [(1000.0, 0.707107)]),
    *levels(f"{FORMULA}, high-pass", F30, {100: -40.0004, 1000: -3.0103}),
    gain_at(f"{FORMULA}, high-pass", F30, 1e6, -1.0),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_the_example_comes_out_as_published(check: Check) -> None:
    assert check.misses(check.bench) == []
