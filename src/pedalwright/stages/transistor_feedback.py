"""Parts that join a transistor to the ones before and after it: feedback, and loads hung from an emitter."""

from pedalwright.stages.transistor_gathering import Gathering


def returns_to_driver(work: Gathering, bottom_nets: tuple[str, ...]) -> tuple[str, ...]:
    """Take feedback resistors from the emitter to the base of the transistor that drives this one."""
    drivers = {
        item.control
        for item in work.view.transistors
        if item.top == work.cluster.control and item.family == "bipolar" and not work.still(item.control)
    }
    back: list[str] = []
    for net in bottom_nets:
        for leaf in work.view.on(net):
            if leaf.name in work.found or leaf.sort == "C":
                continue
            leaves, inside, ends = work.island(net, leaf)
            far = ends - set(work.own)
            if len(far) == 1 and far <= drivers:
                work.take(leaves, inside, ends)
                back.extend(far)
    return tuple(dict.fromkeys(back))


def series_feedback(
    work: Gathering, top_nets: tuple[str, ...], bottom_nets: tuple[str, ...]
) -> tuple[str, ...]:
    """Take the parts by which the transistor that this one drives feeds its output back to this emitter."""
    outputs = {
        item.top
        for item in work.view.transistors
        if item.ref not in work.cluster.refs
        and not work.still(item.top)
        and _drives(work, top_nets, item.control)
    }
    found: list[str] = []
    for net in bottom_nets:
        for leaf in work.view.on(net):
            if leaf.name in work.found or leaf.sort not in "RC":
                continue
            leaves, inside, ends = work.island(net, leaf)
            far = ends - set(work.own)
            if len(far) == 1 and far <= outputs:
                work.take(leaves, inside, ends)
                found.extend(far)
    return tuple(dict.fromkeys(found))


def _drives(work: Gathering, top_nets: tuple[str, ...], control: str) -> bool:
    """The control is on the collector's side, or one part away from it."""
    return control in top_nets or any(
        leaf.other(net) == control for net in top_nets for leaf in work.view.on(net)
    )


def hung_load(work: Gathering) -> tuple[str, ...]:
    """Take the load by which a collector or drain hangs from another transistor's emitter or source."""
    top = work.cluster.top
    bottoms = {item.bottom for item in work.view.transistors if item.ref not in work.cluster.refs}
    if work.still(top) or work.is_fed(top):
        return ()
    hung = [leaf for leaf in work.view.on(top) if leaf.sort in "RL" and leaf.other(top) in bottoms]
    for leaf in hung:
        work.take({leaf.name: leaf}, set(), {top})
    return tuple(dict.fromkeys(leaf.other(top) for leaf in hung if not work.still(leaf.other(top))))
