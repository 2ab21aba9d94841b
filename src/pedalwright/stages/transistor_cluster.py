"""One transistor, or two that work as one: which of their nets are the control, the top and the bottom of a
stage.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from pedalwright.stages.nets import NetClasses
from pedalwright.stages.network import acts_as_resistor
from pedalwright.stages.view import Transistor, View


@dataclass(frozen=True, slots=True, kw_only=True)
class Cluster:
    """Transistors that amplify together. `shape` is ``single``, ``cascode`` or ``darlington``.

    `control` is the base or gate that takes the signal, `top` the collector or drain, `bottom` the emitter
    or source
    that the stage shows to the outside; `middles` are the nets between the two transistors. `transistors`
    begins with
    the one whose control takes the signal.
    """

    transistors: tuple[Transistor, ...]
    shape: str
    control: str
    top: str
    bottom: str
    middles: tuple[str, ...] = ()

    @property
    def lead(self) -> Transistor:
        """The transistor whose control takes the signal."""
        return self.transistors[0]

    @property
    def refs(self) -> frozenset[str]:
        """The designators."""
        return frozenset(transistor.ref for transistor in self.transistors)


def clusters(view: View, classes: NetClasses) -> tuple[Cluster, ...]:
    """Every amplifying transistor once; channels that work as resistors and diode-connected parts are left
    out.
    """
    usable = [item for item in view.transistors if _amplifies(view, classes, item)]
    pairs = [pair for item in usable for other in usable if (pair := _pair(view, classes, item, other))]
    paired: set[str] = set()
    found: list[Cluster] = []
    for pair in pairs:
        if not pair.refs & paired:
            paired |= pair.refs
            found.append(pair)
    found += [_single(item) for item in usable if item.ref not in paired]
    return tuple(found)


def _amplifies(view: View, classes: NetClasses, transistor: Transistor) -> bool:
    return (
        transistor.control not in (transistor.top, transistor.bottom)
        and transistor.top != transistor.bottom
        and not (classes.is_still(transistor.top) and classes.is_still(transistor.bottom))
        and not acts_as_resistor(view, classes, transistor.ref)
    )


def _single(item: Transistor) -> Cluster:
    return Cluster(
        transistors=(item,), shape="single", control=item.control, top=item.top, bottom=item.bottom
    )


def _pair(view: View, classes: NetClasses, first: Transistor, second: Transistor) -> Cluster | None:
    if first.ref == second.ref or first.polarity != second.polarity:
        return None
    if _is_cascode(view, classes, first, second):
        return Cluster(
            transistors=(first, second), shape="cascode", control=first.control, top=second.top,
            bottom=first.bottom, middles=(first.top,),
        )  # fmt: skip
    if _is_darlington(classes, first, second):
        return Cluster(
            transistors=(first, second), shape="darlington", control=first.control, top=first.top,
            bottom=second.bottom, middles=(first.bottom,),
        )  # fmt: skip
    return None


def _is_cascode(view: View, classes: NetClasses, lower: Transistor, upper: Transistor) -> bool:
    """The upper one's control stands still and its bottom is the lower one's only load."""
    return (
        lower.top == upper.bottom
        and not classes.is_still(lower.top)
        and classes.is_still(upper.control)
        and not classes.is_still(upper.top)
        and not view.on(lower.top)
        and _holders(view, lower.top) == {lower.ref, upper.ref}
    )


def _is_darlington(classes: NetClasses, first: Transistor, second: Transistor) -> bool:
    return (
        first.family == second.family == "bipolar"
        and first.bottom == second.control
        and first.top == second.top
        and not classes.is_still(first.bottom)
        and first.control != second.control
    )


def _holders(view: View, net: str) -> set[str]:
    return {pin.part.ref for pin in view.pins(net)}


def free_clusters(view: View, classes: NetClasses, taken: Iterable[str]) -> tuple[Cluster, ...]:
    """The clusters no transistor of which is taken."""
    gone = frozenset(taken)
    return tuple(cluster for cluster in clusters(view, classes) if not cluster.refs & gone)
