"""The brief answered: every `want` of the text with its measured value, and how far it is met or missed."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import isfinite

from pedalwright.analysis.wants import Desk, NotKnown, nearest_names, wanted_quantities
from pedalwright.circuit.ports import Want
from pedalwright.review.rule import CannotSay
from pedalwright.review.survey import Survey

WITHIN = {"dB": 0.1, "dBV": 0.1}
"""how far from a wanted value counts as reached where the want gives no spread (house rule)"""
WITHIN_SHARE = 0.01
"""the same for every other unit, as a share of the value (house rule)"""
HAIR = 1e-9
NAMES = {"": "a plain number", "%": "per cent", "dB": "decibels", "dBV": "dBV or volts", "V": "volts"}


@dataclass(frozen=True, slots=True, kw_only=True)
class WantAnswer:
    """One want with its answer, in the unit the want is written in (a bare number of ohms in ohms).

    `value`, `met` and `margin` are None where nothing is known, and `why_not` says why in one sentence. The
    margin is the distance to the nearer limit, negative where the want is missed. `low` and `high` are the
    limits held against: those of the want, a little wider where it names one value without a spread. `basis`
    tells the conditions of the measurement. `known_name` is False for a quantity that there is none of;
    `nearest` then holds names that are alike.
    """

    want: Want
    value: float | None = None
    unit: str = ""
    low: float | None = None
    high: float | None = None
    met: bool | None = None
    margin: float | None = None
    basis: str = ""
    why_not: str = ""
    known_name: bool = True
    nearest: tuple[str, ...] = ()


def answered_wants(survey: Survey) -> tuple[WantAnswer, ...]:
    """An answer for every want, in the order of the text; computed once for a survey. Never raises for a
    circuit that was read.
    """
    return survey.once("wants", lambda: tuple(_answer(survey, want) for want in survey.circuit.wants))


def _answer(survey: Survey, want: Want) -> WantAnswer:
    quantity = wanted_quantities().get(want.quantity)
    low, high = _limits(want)
    if quantity is None:
        return WantAnswer(
            want=want,
            unit=want.unit,
            why_not=f"Nothing called '{want.quantity}' is measured.",
            known_name=False,
            nearest=nearest_names(want.quantity),
        )
    turned = _turned(quantity.unit, want.unit)
    if turned is None:
        wanted, given = (NAMES.get(unit, unit) for unit in (quantity.unit, want.unit))
        return WantAnswer(
            want=want, unit=want.unit, why_not=f"The {quantity.title} is told in {wanted}, not in {given}."
        )
    try:
        measured = quantity.measure(desk_of(survey))
    except NotKnown as reason:
        return WantAnswer(want=want, unit=want.unit, why_not=str(reason))
    value = turned(measured.value)
    if not isfinite(value):
        return WantAnswer(want=want, unit=want.unit, why_not=f"The {quantity.title} is not a finite number.")
    margin = min(
        value - low if low is not None else float("inf"), high - value if high is not None else float("inf")
    )
    return WantAnswer(
        want=want,
        value=value,
        unit=quantity.unit if turned is _SAME else want.unit,
        low=low,
        high=high,
        met=margin >= -HAIR * max(abs(value), 1.0),
        margin=margin,
        basis=measured.basis,
    )


def desk_of(survey: Survey) -> Desk:
    """The desk on which this survey's wants are measured; rules that need the same figures share it."""

    def made() -> Desk:
        try:
            return Desk(survey.analysis, survey.band)
        except CannotSay:
            return Desk(survey.analysis)

    return survey.once("wants desk", made)


def _limits(want: Want) -> tuple[float | None, float | None]:
    """The want's limits; a single value is widened to what counts as reached."""
    if want.low is None or want.high is None or want.low != want.high:
        return want.low, want.high
    room = WITHIN.get(want.unit, WITHIN_SHARE * abs(want.low))
    return want.low - room, want.high + room


_SAME: Callable[[float], float] = lambda value: value  # noqa: E731
_RATIO: Callable[[float], float] = lambda level: 10 ** (level / 20)  # noqa: E731
_TURNS: Mapping[tuple[str, str], Callable[[float], float]] = {
    ("dB", ""): _RATIO,
    ("dB", "%"): _RATIO,
    ("dBV", "V"): _RATIO,
    ("Ω", ""): _SAME,
    ("A", ""): _SAME,
}
"""(unit of the quantity, unit of the want) -> what turns one into the other"""


def _turned(unit: str, wanted: str) -> Callable[[float], float] | None:
    return _SAME if unit == wanted else _TURNS.get((unit, wanted))
