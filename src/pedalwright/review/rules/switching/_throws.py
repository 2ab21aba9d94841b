"""Every switch of the circuit thrown from where it stands, and the clicks that makes."""

from collections.abc import Iterable
from dataclasses import dataclass

from pedalwright.analysis.settings import positions
from pedalwright.analysis.switching.linear import Linear, linear_of
from pedalwright.analysis.switching.pop import Pop
from pedalwright.circuit.part import Part
from pedalwright.devices.kinds.switch import COMMON, contacts
from pedalwright.review.rules.switching._pops import thrown, told
from pedalwright.review.survey import Pose, Survey


@dataclass(frozen=True, kw_only=True, eq=False)
class Throw:
    """A switch moved from where it stands to another position, and the click at the output."""

    switch: Part
    position: str
    pose: Pose
    pop: Pop


def throws(survey: Survey) -> tuple[Throw, ...]:
    """Every switch moved to each of its other positions; the louder way of there and back."""
    return survey.once("throws", lambda: tuple(_throws(survey)))


def _throws(survey: Survey) -> Iterable[Throw]:
    if survey.circuit.output is None or survey.circuit.input is None:
        return
    for switch in survey.circuit.switches:
        for position in positions(switch):
            pose = survey.pose({switch.ref: position})
            if pose.says and pose.analysis.small is not None and survey.analysis.small is not None:
                both = thrown(survey.analysis, pose.analysis)
                louder = max(both, key=lambda pop: pop.weighted_v)
                yield Throw(switch=switch, position=position, pose=pose, pop=louder)


def settled(survey: Survey) -> Linear:
    """The circuit as it stands with every leak."""
    return survey.once("settled", lambda: told(lambda: linear_of(survey.analysis)))


def contact_nets(switch: Part) -> tuple[tuple[str, str], ...]:
    """The nets of common and position contact of every pole, for every position."""
    return tuple(
        (switch.net(pole + COMMON), switch.net(pole + name))
        for pole, names in contacts(switch)
        for name in names
    )


def stranded(survey: Survey, throw: Throw) -> Part | None:
    """A capacitor on a contact that floats in one of the two positions."""
    floating = {*survey.rest.floating, *throw.pose.analysis.rest.floating}
    ends = {net for pair in contact_nets(throw.switch) for net in pair}
    for part in survey.parts_of("capacitor"):
        if floating & set(part.nets) & ends:
            return part
    return None
