"""The supply: reservoir, filter, regulator, polarity diode and indicator."""

import math

from pedalwright.formulas._kinds import sqrt, where


def ripple_peak_to_peak_v(*, load_a: float, ripple_hz: float, farads: float) -> float:
    """Ripple of a reservoir capacitor [V peak to peak].

    dV = I/(f C)

    load_a: load current [A]
    ripple_hz: charging pulses per second, twice the mains frequency for full-wave rectifiers [Hz]
    farads: reservoir [F]
    Valid: ripple small against the voltage; a little pessimistic, for charging takes time too.
    Source: [Coughlin] Ex. 16.4 (with 5 ms discharge for 120 Hz).

    >>> ripple_peak_to_peak_v(load_a=0.1, ripple_hz=100.0, farads=1e-3)
    1.0
    """
    return load_a / (ripple_hz * farads)


def sawtooth_rms_v(peak_to_peak_v: float) -> float:
    """Root-mean-square value of a sawtooth [V].

    Vrms = Vpp/(2 sqrt(3))

    peak_to_peak_v: peak to peak [V]
    Valid: straight slopes.
    Source: [Boylestad] Ex. 15.3 (the book's 2.4 I/C is this at 120 Hz).

    >>> print(f"{sawtooth_rms_v(4.16667):.4f}")
    1.2028
    """
    return peak_to_peak_v / (2 * math.sqrt(3))


def load_regulation(no_load_v: float, full_load_v: float) -> float:
    """Drop from no load to full load as a fraction of the latter [-].

    r = (Vnl - Vfl)/Vfl

    no_load_v: without load [V]
    full_load_v: with full load [V]
    Valid: above zero.
    Source: [Boylestad] Ex. 15.2; [Coughlin] Ex. 16.3.

    >>> print(f"{100 * load_regulation(60.0, 56.0):.2f}")
    7.14
    """
    return (no_load_v - full_load_v) / full_load_v


def dropper_output_v(*, supply_v: float, series_ohms: float, load_ohms: float) -> float:
    """Steady voltage behind a series resistor of a supply filter [V].

    V = Vs RL/(R + RL)

    supply_v: Vs [V]
    series_ohms: R [ohm]
    load_ohms: RL [ohm]
    Valid: resistive load; for a load of steady current use Vs - I R.
    Source: [Boylestad] Ex. 15.6.

    >>> print(f"{dropper_output_v(supply_v=60.0, series_ohms=120.0, load_ohms=1e3):.3f}")
    53.571
    """
    return supply_v * load_ohms / (series_ohms + load_ohms)


def ripple_ratio(
    frequency_hz: float, *, series_ohms: float, farads: float, load_ohms: float = math.inf
) -> float:
    """How much of a ripple an RC supply filter lets through [-].

    k = g/sqrt(1 + (2 pi f g R C)^2),  g = RL/(R + RL)

    frequency_hz: ripple frequency [Hz]
    series_ohms: R [ohm]
    farads: C [F]
    load_ohms: RL [ohm]
    Valid: ideal capacitor; its series resistance sets a floor.
    Source: [Boylestad] Ex. 15.7 (the book leaves out the square-root sum where Xc is small).

    >>> print(f"{ripple_ratio(100.0, series_ohms=100.0, farads=100e-6):.5f}")
    0.15718
    """
    share = 1 / (1 + series_ohms / load_ohms)
    return share / sqrt(1 + (2 * math.pi * frequency_hz * share * series_ohms * farads) ** 2)


def regulator_dissipation_w(
    *, input_v: float, output_v: float, load_a: float, quiescent_a: float = 0.0
) -> float:
    """Heat in a linear regulator [W].

    P = (Vin - Vout) I + Vin Iq

    input_v, output_v: voltages [V]
    load_a: load current [A]
    quiescent_a: the regulator's own current [A]
    Valid: linear regulator.
    Source: common practice, no source (power balance).

    >>> print(f"{regulator_dissipation_w(input_v=9.0, output_v=5.0, load_a=0.03, quiescent_a=3.8e-3):.4f}")
    0.1542
    """
    return (input_v - output_v) * load_a + input_v * quiescent_a


def regulator_minimum_input_v(output_v: float, dropout_v: float) -> float:
    """Lowest input at which a regulator still holds its output [V].

    Vin = Vout + Vdrop

    output_v: output [V]
    dropout_v: dropout at that load [V]
    Valid: the figure of the sheet may be typical only; the lowest point of the ripple counts.
    Source: common practice, no source (definition).

    >>> regulator_minimum_input_v(5.0, 1.7)
    6.7
    """
    return output_v + dropout_v


def indicator_ohms(*, supply_v: float, forward_v: float, amps: float) -> float:
    """Series resistor of an indicator LED [ohm]; not a number when the supply is too low.

    R = (V - VF)/I

    supply_v: V [V]
    forward_v: VF at that current [V]
    amps: wanted current [A]
    Valid: supply above the forward voltage.
    Source: common practice, no source (Ohm's law).

    >>> print(f"{indicator_ohms(supply_v=9.0, forward_v=2.2, amps=2e-3):.1f}")
    3400.0
    """
    return where(supply_v > forward_v, supply_v - forward_v) / amps


def indicator_a(*, supply_v: float, forward_v: float, ohms: float) -> float:
    """Current of an indicator LED, zero when the supply is too low [A].

    I = (V - VF)/R

    supply_v: V [V]
    forward_v: VF, taken as constant [V]
    ohms: R [ohm]
    Valid: forward voltage known to a tenth of a volt or so.
    Source: common practice, no source (Ohm's law).

    >>> print(f"{indicator_a(supply_v=9.0, forward_v=2.2, ohms=4.7e3) * 1e3:.5f}")
    1.44681
    """
    return where(supply_v > forward_v, supply_v - forward_v, 0.0) / ohms


def battery_hours(capacity_ah: float, load_a: float) -> float:
    """Hours a battery lasts at a steady current [h].

    t = Q/I

    capacity_ah: capacity down to the end voltage, at about that current [Ah]
    load_a: current [A]
    Valid: capacity falls at high current and in the cold.
    Source: common practice, no source (definition).

    >>> print(f"{battery_hours(0.5, 0.03):.1f}")
    16.7
    """
    return capacity_ah / load_a
