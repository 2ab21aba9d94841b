"""What the writer's own words speak of: designators in titles, remarks, points and notes."""

import re
from collections.abc import Iterable
from functools import cache

from pedalwright.circuit.circuit import Circuit
from pedalwright.devices.catalogue import devices
from pedalwright.review.catalogue import rules

DESIGNATOR = re.compile(r"(?<![A-Za-z0-9/.])(?:R|C|L|D|Q|U|F|SW|J|BT)\d{1,4}(?![A-Za-z0-9])")
"""a designator by IEEE 315 letters, standing alone"""


def strangers_in_the_text(circuit: Circuit) -> tuple[str, ...]:
    """Designators that the writer's own words name and the circuit does not have, in order."""
    known = known_names(circuit)
    named = {ref for said in _own_words(circuit) for ref in DESIGNATOR.findall(said)}
    return tuple(sorted(ref for ref in named if ref not in known))


def _own_words(circuit: Circuit) -> Iterable[str]:
    yield from (circuit.title, *circuit.about)
    yield from (section.title for section in circuit.sections)
    yield from (point.text for point in circuit.points)
    yield from (one.reason for one in circuit.accepts)
    yield from (want.text for want in circuit.wants)
    for part in circuit.parts:
        yield from (part.value_text, part.type, part.section, *part.notes)
        yield from (said for option in part.options for said in option)
    yield from circuit.nets


@cache
def _alike() -> frozenset[str]:
    """Some type numbers and codes of rules look like designators: J201, L01."""
    types = {name for entry in devices() for name in entry.types}
    return frozenset(types | {rule.code for rule in rules()})


def known_names(circuit: Circuit) -> set[str]:
    """Designators and names of the circuit, and every type number and code of a rule."""
    return {*circuit.by_ref, *_alike()}
