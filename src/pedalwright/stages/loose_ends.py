"""Rows of parts that end at open contacts: no current flows in them as the switches stand."""

from pedalwright.stages.view import View


def leads_nowhere(view: View, came: str, net: str, start: str) -> bool:
    """A row of parts ends at open contacts, or on the net it began on."""
    seen: set[str] = set()
    while net not in seen and net not in view.ports:
        seen.add(net)
        if net == start:
            return True
        contacts = [pin for pin in view.pins(net) if view.family[pin.part.ref] == "switch"]
        others = [leaf for leaf in view.on(net) if leaf.name != came]
        if len(view.pins(net)) - len(contacts) != 1 + len(others) or len(others) > 1:
            return False
        if not others:
            return bool(contacts)
        came, net = others[0].name, others[0].other(net)
    return False
