"""Heat and life: junction temperature, derating, and the ageing of electrolytics."""


def rise_k(watts: float, k_per_w: float) -> float:
    """Temperature rise [K].

    dT = P Rth

    watts: heat [W]
    k_per_w: thermal resistance from junction to ambient [K/W]
    Valid: steady state, still air, mounting as on the sheet.
    Source: common practice, no source (definition); figures from makers' sheets.

    >>> print(f"{rise_k(0.1542, 200.0):.2f} {rise_k(0.1542, 65.0):.2f}")
    30.84 10.02
    """
    return watts * k_per_w


def allowed_w(*, ambient_c: float, maximum_c: float, k_per_w: float) -> float:
    """Heat a part may make at an ambient temperature, zero above its limit [W].

    P = (Tmax - Ta)/Rth

    ambient_c: Ta [degree C]
    maximum_c: highest junction temperature [degree C]
    k_per_w: thermal resistance from junction to ambient [K/W]
    Valid: steady state; the sheet's limit at 25 degrees C holds below that temperature.
    Source: common practice, no source (definition); checked on the 2N3904 sheet (625 mW, 5 mW/K).

    >>> print(f"{allowed_w(ambient_c=60.0, maximum_c=150.0, k_per_w=200.0) * 1e3:.0f}")
    450
    """
    return max(0.0, (maximum_c - ambient_c) / k_per_w)


def electrolytic_life_h(*, rated_h: float, rated_c: float, ambient_c: float) -> float:
    """Expected life of an electrolytic capacitor [h].

    L = L0 2^((T0 - T)/10)

    rated_h: L0 at the rated temperature [h]
    rated_c: T0 [degree C]
    ambient_c: T of its case [degree C]
    Valid: advice, not a limit; makers stop the rule near 40 degrees C and at 15 years.
    Source: common practice, no source.

    >>> electrolytic_life_h(rated_h=2000.0, rated_c=105.0, ambient_c=45.0)
    128000.0
    """
    return rated_h * 2 ** ((rated_c - ambient_c) / 10)


def rated_v_needed(working_v: float, share: float = 0.8) -> float:
    """Rated voltage an electrolytic should at least have [V].

    V = Vw/s

    working_v: highest voltage it sees [V]
    share: part of the rating to use at most [-]
    Valid: advice, not a limit.
    Source: common practice, no source (80 % rule; shops use 50 to 80 %).

    >>> rated_v_needed(9.0)
    11.25
    """
    return working_v / share
