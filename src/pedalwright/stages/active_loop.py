"""Feedback that transistors close: the output drives a base or gate, an emitter or collector leads back."""

from dataclasses import dataclass, replace

from pedalwright.stages.branch import Leaf
from pedalwright.stages.nets import NetClasses
from pedalwright.stages.network import AmplifierNetwork, network_of
from pedalwright.stages.view import Amplifier, View


@dataclass(frozen=True, slots=True)
class ActiveLoop:
    """The transistors on the way, and the nets behind the last of them up to the inverting input."""

    transistors: tuple[str, ...]
    nets: tuple[str, ...]


def active_loop(
    view: View, classes: NetClasses, amp: Amplifier, *, linear: bool = False
) -> ActiveLoop | None:
    """The shortest way from an amplifier's output through transistors to its own inverting input; None
    without one.

    With `linear`, diodes do not count as a way: they are open in the linear view.
    """
    others = {other.out for other in view.amplifiers if other.ref != amp.ref}
    stops = classes.still | others | {amp.non}
    came: dict[str, ActiveLoop] = {amp.out: ActiveLoop((), ())}
    pending = [amp.out]
    while pending:
        net = pending.pop(0)
        here = came[net]
        for far, refs in _steps(view, net, linear):
            through = (*here.transistors, *refs)
            onward = ActiveLoop(through, (*(() if refs else here.nets), far) if through else ())
            if far == amp.inv and through:
                return onward
            if far not in came and far not in stops:
                came[far] = onward
                pending.append(far)
    return None


def _steps(view: View, net: str, linear: bool) -> list[tuple[str, tuple[str, ...]]]:
    leaves: list[Leaf] = [leaf for leaf in view.on(net) if leaf.sort != "D" or not linear]
    found: list[tuple[str, tuple[str, ...]]] = [(leaf.other(net), ()) for leaf in leaves]
    for item in view.transistors:
        if item.control == net:
            found.extend((far, (item.ref,)) for far in (item.bottom, item.top))
    return found


def transistors_in_loop(view: View, classes: NetClasses, amp: Amplifier) -> tuple[str, ...]:
    """The transistors through which an amplifier's output reaches its own inverting input; empty when none
    does.
    """
    found = active_loop(view, classes, amp)
    return found.transistors if found is not None else ()


def boosted(view: View, classes: NetClasses, network: AmplifierNetwork) -> AmplifierNetwork:
    """The network with the net its transistors drive as the output, when they close the loop; else the same
    network.
    """
    amp = network.amplifier
    if network.has_negative_feedback or amp.inv == amp.out:
        return network
    found = active_loop(view, classes, amp)
    if found is None:
        return network
    inputs = [net for net in network.inputs if net in found.nets and net != amp.non]
    if amp.inv in found.nets[:1]:
        inputs = [amp.inv]
    if not inputs:
        return network
    return network_of(view, classes, replace(amp, out=inputs[0]))
