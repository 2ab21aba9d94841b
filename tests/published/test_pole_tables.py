"""Standard filters from the published pole tables, built as chains of Sallen-Key stages for 1 kHz.

What makes each family what it is must come out of the solver: Butterworth and Bessel have their corner where
the tables say, Chebyshev the stated ripple up to its edge.
"""

import math

import pytest

from tests.published import poles
from tests.published.bench import DB, Check
from tests.published.poles import Poles
from tests.published.stages import circuit, rc_low_pass, sk_low_pass

CORNER_HZ = 1000.0
HALF_POWER_DB = -3.0103


def chain(rows: Poles) -> str:
    """Unity-gain stages with equal resistors: Cf = 4 Q^2 Cg, R = 1/(2 pi f0 2 Q Cg); a real pole is an RC."""
    nets = ["IN", *(f"A{n}" for n in range(1, len(rows))), "OUT"]
    lines = []
    for n, (w0, q) in enumerate(rows, 1):
        rate = 2 * math.pi * CORNER_HZ * w0
        if q:
            r, cf = f"{1e9 / (rate * 2 * q):.10g}", f"{4 * q * q:.10g}n"
            lines.append(sk_low_pass(n, nets[n - 1], nets[n], r, r, "1n", cf))
        else:
            lines.append(rc_low_pass(n, nets[n - 1], nets[n], f"{1e9 / rate:.10g}", "1n"))
    return circuit(*lines)


def from_coefficients(rows: Poles) -> Poles:
    """Handbook coefficients (a, b) as frequency 1/sqrt(b) and Q sqrt(b)/a; b = 0 is a real pole at 1/a."""
    return tuple((1 / math.sqrt(b), math.sqrt(b) / a) if b else (1 / a, 0.0) for a, b in rows)


def equal_parts(gains: tuple[str, ...]) -> str:
    nets = ["IN", *(f"A{n}" for n in range(1, len(gains))), "OUT"]
    return circuit(
        *(
            sk_low_pass(
                n,
                nets[n - 1],
                nets[n],
                "15915.494",
                "15915.494",
                "10n",
                "10n",
                ("10k", f"{1e4 * (float(gain) - 1):.10g}"),
            )
            for n, gain in enumerate(gains, 1)
        )
    )


def level(source: str, text: str, hertz: float, db: float, within: float = DB) -> Check:
    """A level against the one at direct current."""
    return Check(
        source=source,
        says=f"level at {hertz:g} Hz",
        text=text,
        exact=db,
        within=within,
        asks=lambda made: made.level_db(hertz) - made.level_db(1e-3),
    )


def butterworth(n: int, rows: Poles) -> list[Check]:
    source, text = f"Butterworth, order {n} (Op Amps for Everyone, Table 16.7)", chain(rows)
    far_db = -10 * math.log10(1 + 10 ** (2 * n))
    stages = [
        Check(
            source=source,
            says=f"corner of stage {place + 1}",
            text=chain((row,)),
            printed=printed,
            asks=lambda made: made.corner_hz(200, 5000, 0.0) / CORNER_HZ,
        )
        for place, (row, printed) in enumerate(zip(rows, poles.PARTIAL_CORNERS.get(n, ()), strict=False))
    ]
    return [
        level(source, text, CORNER_HZ, HALF_POWER_DB),
        level(source, text, 10 * CORNER_HZ, far_db),
        level(source, text, 0.5 * CORNER_HZ, -10 * math.log10(1 + 0.5 ** (2 * n))),
        *stages,
    ]


def bessel(n: int, rows: Poles) -> list[Check]:
    source, text = f"Bessel, order {n}", chain(rows)
    handbook = chain(from_coefficients(poles.OAFE_BESSEL[n]))
    # The delay at direct current, from the phase at a hundredth of the corner, is flat there to 1e-4.
    return [
        level(source, text, CORNER_HZ, HALF_POWER_DB),
        level(
            f"{source}: Op Amps for Everyone, Table 16.6, four decimals", handbook, CORNER_HZ, -3.0103, 0.002
        ),
        Check(
            source=source,
            says="corner times delay",
            text=text,
            exact=poles.BESSEL_DELAYS[n],
            asks=lambda made: -made.phase_deg(10.0) / 360 / 10.0 * 2 * math.pi * CORNER_HZ,
        ),
    ]


def chebyshev(ripple: float, n: int, rows: Poles) -> list[Check]:
    """Even orders start at the bottom of the ripple, odd ones at its top."""
    source, text = f"Chebyshev, {ripple:g} dB, order {n}", chain(rows)
    top, edge = (ripple, 0.0) if n % 2 == 0 else (0.0, -ripple)
    from_top, from_start = poles.CHEBYSHEV_CORNERS[ripple, n]
    handbook = chain(from_coefficients(poles.OAFE_CHEBYSHEV[ripple, n]))

    def corner(below_db: float, printed: str) -> Check:
        return Check(
            source=source,
            says=f"corner below {below_db:g} dB, over the edge",
            text=text,
            printed=printed,
            asks=lambda made: made.corner_hz(700, 3000, below_db) / CORNER_HZ,
        )

    return [
        level(source, text, CORNER_HZ, edge),
        Check(
            source=source,
            says="top of the ripple",
            text=text,
            exact=top,
            within=DB,
            asks=lambda made: made.peak_db(100, 1200),
        ),
        corner(top, from_top),
        corner(0.0, from_start),
        level(f"{source}: handbook coefficients, four decimals", handbook, CORNER_HZ, -3.0103, 0.02),
    ]


CHECKS = [
    *(check for n, rows in poles.BUTTERWORTH.items() for check in butterworth(n, rows)),
    *(check for n, rows in poles.BESSEL.items() for check in bessel(n, rows)),
    *(check for (ripple, n), rows in poles.CHEBYSHEV.items() for check in chebyshev(ripple, n, rows)),
    *(
        level(
            f"Butterworth, order {n}: equal parts, gain 3 - 1/Q to four decimals",
            equal_parts(gains),
            CORNER_HZ,
            HALF_POWER_DB,
            0.005,
        )
        for n, gains in poles.EQUAL_PART_GAINS.items()
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_the_family_keeps_its_promise(check: Check) -> None:
    assert check.misses(check.bench) == []
