"""Every device: how it is written, its pins, its types with their figures and where these come from."""

from collections.abc import Mapping

from pedalwright.circuit.part import Part
from pedalwright.circuit.span import Span
from pedalwright.devices.catalogue import devices
from pedalwright.devices.device import Device, Figure, Pin
from pedalwright.report.markdown_page import escaped
from reference_pages._markdown import code, page, paragraphs, table

FILE = "devices.md"


def write() -> str:
    """The page."""
    every = devices()
    overview = table(
        ("kind", "letters", "what it is"),
        [(device.kind, ", ".join(device.letters), f"{device.title}: {device.says}") for device in every],
    )
    intro = "The parts a circuit can be made of, by the word they are written with. Figures are in SI units."
    return page("Devices", intro, overview, *(block for device in every for block in _device(device)))


def _device(device: Device) -> list[str]:
    return [
        f"## {device.kind}",
        *paragraphs(device.page),
        table(("pin", "also written", "joined to, if unsaid", "what it is"), map(_pin, _pins(device))),
        table(("option", "what it says"), device.options.items()),
        table(("figure", "value", "source"), _figures(device.figures)),
        table(
            ("type", "figure", "value", "source"),
            ((name, *row) for name, figures in device.types.items() for row in _figures(figures)),
        ),
        *(f"Worked ({escaped(worked.source)}):\n\n{code(worked.text)}" for worked in device.worked[:1]),
    ]


def _pins(device: Device) -> tuple[Pin, ...]:
    """The pins of a part that says nothing about them."""
    if device.pins or device.pins_of is None:
        return device.pins
    return device.pins_for(Part(ref="X1", kind=device.kind, span=Span(1, 1, 2), type=device.default_type))


def _pin(pin: Pin) -> tuple[str, ...]:
    return pin.name, ", ".join(pin.aliases), pin.default, pin.says


def _figures(figures: Mapping[str, Figure]) -> list[tuple[str, str, str]]:
    return [(name, f"{figure.value:.6g}", figure.source) for name, figure in figures.items()]
