"""One part as the circuit knows it: what it is and which net each pin is on."""

from dataclasses import dataclass

from pedalwright.circuit.span import Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part of any kind: resistor, chip, knob, switch ...

    `kind` is the device's word (``resistor``, ``dual-opamp``, ``knob`` ...), `type` its type number
    (``TL072``) or an empty string, `value` the SI value (ohms, farads, henries, volts of a zener) or None,
    `value_text` the value as written. `pins` pairs every pin name of the device with its net, in the
    device's order; an unused pin is on a net of its own. `notes` are the words in parentheses
    (``electrolytic``, ``16V``), `options` the ``key=value`` pairs that are not pins. `law` and `setting`
    belong to knobs, trims and switches: the track's law, and the position (0..10 for a knob, the position's
    name for a switch).
    """

    ref: str
    kind: str
    span: Span
    type: str = ""
    value: float | None = None
    value_text: str = ""
    pins: tuple[tuple[str, str], ...] = ()
    notes: tuple[str, ...] = ()
    options: tuple[tuple[str, str], ...] = ()
    law: str = ""
    setting: float | str | None = None
    section: str = ""

    def net(self, pin: str) -> str:
        """The net on a pin; KeyError when the part has no such pin."""
        for name, net in self.pins:
            if name == pin:
                return net
        raise KeyError(f"{self.ref} has no pin {pin}")

    @property
    def nets(self) -> tuple[str, ...]:
        """The nets of all pins, in the device's pin order (repeats kept)."""
        return tuple(net for _, net in self.pins)

    def option(self, key: str, default: str = "") -> str:
        """The written value of ``key=value``, or `default`."""
        return next((value for name, value in self.options if name == key), default)
