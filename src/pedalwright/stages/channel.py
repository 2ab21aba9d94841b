"""Field-effect transistors whose channel works as a resistor: where it lies, and how well it conducts at
rest.
"""

from pedalwright.stages.bench import Bench
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.ideal import transistor_conductance
from pedalwright.stages.network import acts_as_resistor


def channels_at(claimed: Claimed, net: str) -> dict[str, str]:
    """The transistors with one end of such a channel on a net, each with the net at the other end."""
    found = {}
    for item in claimed.view.transistors:
        if net in (item.top, item.bottom) and acts_as_resistor(claimed.view, claimed.classes, item.ref):
            found[item.ref] = item.bottom if item.top == net else item.top
    return found


def conductance_name(ref: str) -> str:
    """The name of the channel among the elements of the idealised circuit."""
    return f"{ref}/go"


def conductance(bench: Bench, ref: str) -> float:
    """Conductance of the channel at rest [S]; 0 when it is not known."""
    item = next(item for item in bench.view.transistors if item.ref == ref)
    return transistor_conductance(bench, item, "go")
