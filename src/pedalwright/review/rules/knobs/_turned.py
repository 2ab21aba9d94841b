"""What the rules about knobs share: every knob turned, what is heard of it, what flows in its track."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from pedalwright.analysis.knob_answers import glance
from pedalwright.analysis.knob_records import Heard, KnobAnswer
from pedalwright.analysis.knob_track import change_names, halves_at, law_of
from pedalwright.circuit.part import Part
from pedalwright.devices.ports import supply_name
from pedalwright.review.survey import Survey
from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.rest import OperatingPoints, operating_points

TURNS = (0.0, 0.05, 0.2, 0.5, 0.8, 0.95, 1.0)
"""where a track's currents are looked at"""
HEARD_ROLES = (
    "level knob",
    "gain knob",
    "tone knob",
    "time knob",
    "repeats knob",
    "rate knob",
    "frequency knob",
)
"""roles whose effect is measured by what they are there for; others may work through what is not measured"""
MIX = "mix knob"
SILENT_DB = 60.0
"""so far below the loudest place counts as silence (house rule)"""
LEAST_DB = 3.0
"""a smaller fall of a level is no direction (house rule)"""
MORE = {
    "level": ("level knob", "gain knob", "tone knob"),
    "delay": ("time knob",),
    "repeats": ("repeats knob",),
    "rate": ("rate knob",),
}
"""what a knob is heard by -> the roles in which clockwise means more of it"""
AT_JACK = ("output", "delayed sound", "delay", "repeats", "rate of the slow oscillator")


def answers(survey: Survey) -> tuple[KnobAnswer, ...]:
    """Every knob and trim at eleven places of its dial, the others as they stand."""
    survey.small  # noqa: B018  (raises where nothing can be said)
    return survey.once("knobs at a glance", lambda: glance(survey.analysis))


def heard_at_jack(answer: KnobAnswer) -> Heard | None:
    """The figure a knob is there for, if it is known everywhere on the dial and heard at the output."""
    leading = answer.heard[0] if answer.heard else None
    if leading is None or leading.spreading is None or answer.role not in HEARD_ROLES:
        return None
    named = any(word in leading.name for word in AT_JACK) and "the way from" not in leading.name
    return leading if named and answer.certified.all() else None


def is_backwards(answer: KnobAnswer) -> bool:
    """Whether clockwise brings less of what a knob of this role is turned up for."""
    heard = heard_at_jack(answer)
    if heard is None or answer.kind != "knob" or answer.role not in MORE.get(heard.sort, ()):
        return False
    turns = heard.spreading is not None and heard.spreading.turns_round
    falls = heard.at_0 - heard.at_10
    return not turns and falls > (LEAST_DB if heard.sort == "level" else 0.0)


@dataclass(frozen=True, kw_only=True, eq=False)
class TrackCase:
    """One knob turned to `TURNS`, all others as they stand: volts across and amperes through both halves of
    its track, and what each supply gives; arrays (turns,), not a number where not certified.
    """

    part: Part
    lower_v: FloatArray
    upper_v: FloatArray
    lower_a: FloatArray
    upper_a: FloatArray
    supply_a: Mapping[str, FloatArray]


def tracks(survey: Survey) -> tuple[TrackCase, ...]:
    """Every knob and trim with its currents; raises CannotSay without a certified rest point."""
    survey.rest  # noqa: B018
    return survey.once("tracks turned", lambda: tuple(_cases(survey)))


def _cases(survey: Survey) -> Sequence[TrackCase]:
    knobs = survey.circuit.knobs
    if not knobs:
        return ()
    count, turns = len(TURNS), np.array(TURNS)
    changes: dict[str, FloatArray] = {}
    known = set(survey.analysis.system.names)
    for place, part in enumerate(knobs):
        now = (5.0 if part.setting is None else float(part.setting)) / 10
        turn = np.full(count * len(knobs), now)
        turn[place * count : (place + 1) * count] = turns
        halves = halves_at(part.value or 0.0, law_of(part), turn)
        named = zip(change_names(part), (halves.lower, halves.upper), strict=True)
        changes |= {name: ohms for name, ohms in named if name in known}
    if not changes:
        return ()
    rests = operating_points(survey.analysis.system, changes, nominal=survey.rest)
    return tuple(
        _case(survey, part, rests, slice(place * count, (place + 1) * count))
        for place, part in enumerate(knobs)
    )


def _case(survey: Survey, part: Part, rests: OperatingPoints, rows: slice) -> TrackCase:
    first, wiper, last = (rests.volts(part.net(pin))[rows] for pin in ("1", "2", "3"))
    halves = halves_at(part.value or 0.0, law_of(part), np.array(TURNS))
    system = survey.analysis.system
    given = {
        supply.net: np.where(rests.ok, np.abs(rests.x[:, system.branches[supply_name(supply)]]), np.nan)[rows]
        for supply in survey.circuit.supplies
        if supply_name(supply) in system.branches
    }
    return TrackCase(
        part=part,
        lower_v=wiper - first,
        upper_v=last - wiper,
        lower_a=(wiper - first) / halves.lower,
        upper_a=(last - wiper) / halves.upper,
        supply_a=given,
    )
