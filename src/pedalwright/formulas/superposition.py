"""Several sources at one amplifier: the gain from each while the others stand still."""

from collections.abc import Sequence

from pedalwright.formulas._kinds import Value, admittance


def adding_subtracting_gains(
    *,
    feedback_ohms: Value,
    negative_ohms: Sequence[Value],
    positive_ohms: Sequence[Value],
    negative_shunt_ohms: Sequence[Value] = (),
    reference_ohms: Sequence[Value] = (),
) -> tuple[Value, ...]:
    """Gains of an amplifier that adds on both sides: from the inverting inputs, then from the others [-].

    H- = -Zf/Zi,  H+ = (1 + Zf/Zn) (1/Zp)/(sum of all 1/Z at the + input), Zn all other branches at the
    inverting input in parallel

    feedback_ohms: Zf, from the output to the inverting input [ohm]
    negative_ohms: Zi, from each source to the inverting input [ohm]
    positive_ohms: Zp, from each source to the + input [ohm]
    negative_shunt_ohms: from the inverting input to the reference [ohm]
    reference_ohms: from the + input to the reference [ohm]
    Valid: ideal amplifier, stiff sources.
    Source: [Gayakwad] chapter 6 (subtractor and summing amplifiers), by superposition.

    >>> adding_subtracting_gains(
    ...     feedback_ohms=100e3, negative_ohms=[1e3], positive_ohms=[1e3], reference_ohms=[100e3]
    ... )
    (-100.0, 100.0)
    """
    noise_gain = 1 + feedback_ohms * admittance(negative_ohms, negative_shunt_ohms)
    at_plus = admittance(positive_ohms, reference_ohms)
    negative = tuple(-feedback_ohms / ohms for ohms in negative_ohms)
    return negative + tuple(noise_gain / ohms / at_plus for ohms in positive_ohms)


def meeting_gains(
    *, feedback_ohms: Value, common_ohms: Value, arm_ohms: Sequence[Value]
) -> tuple[Value, ...]:
    """Gains of an inverting mixer whose arms meet before one common impedance [-].

    H = -Zf/(Zi (1 + Zc (sum of 1/Zi)))

    feedback_ohms: Zf, from the output to the inverting input [ohm]
    common_ohms: Zc, from the meeting point to the inverting input; zero for a plain mixer [ohm]
    arm_ohms: Zi, from each source to the meeting point [ohm]
    Valid: ideal amplifier, stiff sources, nothing else at the meeting point.
    Source: common practice, no source (Millman's theorem at the meeting point, then the inverting amplifier).

    >>> meeting_gains(feedback_ohms=10e3, common_ohms=5e3, arm_ohms=[10e3, 10e3])
    (-0.5, -0.5)
    """
    spread = 1 + common_ohms * admittance(arm_ohms)
    return tuple(-feedback_ohms / (ohms * spread) for ohms in arm_ohms)
