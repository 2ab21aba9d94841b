"""Branches that meet at one point: the voltage there, and the impedance behind it."""

from collections.abc import Sequence

from pedalwright.formulas._kinds import Value, admittance


def star_gains(*, arm_ohms: Sequence[Value], shunt_ohms: Sequence[Value] = ()) -> tuple[Value, ...]:
    """Open-circuit voltage ratios at the middle of a star, one for each driven arm [-].

    H = (1/Zi)/(sum of all 1/Z)

    arm_ohms: impedance from each source to the middle [ohm]
    shunt_ohms: impedances from the middle to the reference [ohm]
    Valid: stiff sources, nothing else at the middle; no impedance is zero.
    Source: J. Millman, A useful network theorem, Proc. IRE 28, 413-417, 1940 (from memory).

    >>> [round(gain, 3) for gain in star_gains(arm_ohms=[10e3, 20e3], shunt_ohms=[20e3])]
    [0.5, 0.25]
    """
    total = admittance(arm_ohms, shunt_ohms)
    return tuple(1 / ohms / total for ohms in arm_ohms)


def star_ohms(*, arm_ohms: Sequence[Value], shunt_ohms: Sequence[Value] = ()) -> Value:
    """Impedance behind the middle of a star with its sources still: all branches side by side [ohm].

    Z = 1/(sum of all 1/Z)

    arm_ohms: impedance from each source to the middle [ohm]
    shunt_ohms: impedances from the middle to the reference [ohm]
    Valid: stiff sources, at least one branch; no impedance is zero.
    Source: common practice, no source (Thevenin's theorem).

    >>> round(star_ohms(arm_ohms=[10e3], shunt_ohms=[10e3]), 3)
    5000.0
    """
    return 1 / admittance(arm_ohms, shunt_ohms)
