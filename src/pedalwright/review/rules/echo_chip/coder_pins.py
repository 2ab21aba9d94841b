"""Something else than the one capacitor on the coder's or the decoder's own pins."""

from collections.abc import Iterable

from pedalwright.review.rule import Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._chips import SHEET, Chip, chips
from pedalwright.review.rules.echo_chip._trial import echo
from pedalwright.review.survey import Survey
from pedalwright.stages.branch import Leaf
from pedalwright.stages.wording import listed

OWN = {"9": "10", "10": "9", "11": "12"}
"""pin -> the only pin that a part may lead to from it"""


def look(survey: Survey) -> Iterable[Finding]:
    """Pins 9, 10 and 11 of every chip."""
    for chip in chips(survey):
        strangers = {pin: _strangers(chip, pin) for pin in OWN}
        if strangers["9"] and not _strangers_at_decoder(chip):
            yield _swapped(chip, strangers["9"])
            continue
        for pin, leaves in strangers.items():
            if leaves:
                yield _extra(chip, pin, leaves)


def _strangers(chip: Chip, pin: str) -> tuple[Leaf, ...]:
    net, far = chip.net(pin), chip.net(OWN[pin])
    return tuple(leaf for leaf in chip.outside(pin) if leaf.other(net) != far)


def _strangers_at_decoder(chip: Chip) -> bool:
    """Whether the decoder's output leads anywhere but to its own input."""
    net, own = chip.net("12"), chip.net("11")
    return any(leaf.other(net) != own for leaf in chip.outside("12"))


def _swapped(chip: Chip, leaves: tuple[Leaf, ...]) -> Finding:
    refs = tuple(dict.fromkeys(leaf.ref for leaf in leaves))
    return Finding(
        parts=(*refs, chip.ref),
        what=(
            f"{listed(list(refs))} on pin 9 of {chip.ref}: that is the coder, whose sound is not delayed. "
            "The delayed sound is at pin 12, which leads nowhere."
        ),
        cure=f"Take {listed(list(refs))} from pin 9 to pin 12.",
    )


def _extra(chip: Chip, pin: str, leaves: tuple[Leaf, ...]) -> Finding:
    refs = tuple(dict.fromkeys(leaf.ref for leaf in leaves))
    return Finding(
        parts=(*refs, chip.ref),
        what=(
            f"{listed(list(refs))} on pin {pin} of {chip.ref}: only the capacitor to pin {OWN[pin]} belongs "
            "there."
        ),
        cure=f"Take {listed(list(refs))} off pin {pin}; the delayed sound is taken from pin 12.",
        gravity=Gravity.POOR,
    )


RULE = Rule(
    code="E14",
    name="coder-pins",
    title="Parts are on the coder's pins that belong elsewhere",
    gravity=Gravity.DEAD,
    why=(
        "Pins 9 and 10 are the coder's integrator, pins 11 and 12 the decoder's. Only pin 12 gives the "
        "delayed sound; whatever else hangs on the others spoils the coding, or takes the sound before the "
        "delay."
    ),
    source=f"{SHEET}: pin table and block diagram",
    look=look,
    speaks=(
        Trial(text=echo(("U1.12 > R5", "U1.9 > R5")), blames=("R5", "U1"), says="not delayed"),
        Trial(text=echo() + "U1.10 > R30 10k > gnd\n", blames=("R30",), says="pin 10"),
        Trial(text=echo(("U1.12 > C7 100n (film) > U1.11", "U1.11 > C7 100n (film) > gnd")), blames=("C7",)),
    ),
    quiet=(Trial(text=echo()),),
)
