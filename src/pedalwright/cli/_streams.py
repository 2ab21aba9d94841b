"""The two output streams: no crash over a sign the terminal lacks, a full disk or a reader gone away."""

import codecs
import os
import sys
from contextlib import suppress
from io import TextIOWrapper

_PLAIN = {
    "Ω": "ohm", "\u2126": "ohm", "µ": "u", "\u03bc": "u", "°": "deg", "±": "+-", "×": "x", "·": "*",
    "²": "^2", "√": "sqrt", "∞": "infinity", "‖": "||", "≤": "<=", "≥": ">=", "≈": "~", "→": "->",
    "\u2212": "-", "–": "-", "—": "-", "…": "...", "‘": "'", "’": "'", "“": '"', "”": '"',
}  # fmt: skip
"""Signs that carry meaning in a number or a unit, and what to write where they cannot be shown."""


def _plain_sign(error: UnicodeError) -> tuple[str | bytes, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(_PLAIN.get(sign, "?") for sign in error.object[error.start : error.end]), error.end


def write_what_can_be_shown() -> None:
    """Make both streams spell out what their encoding lacks (``4k7 Ω`` becomes ``4k7 ohm``)."""
    codecs.register_error("pedalwright.plain", _plain_sign)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="pedalwright.plain")


def finish_output() -> None:
    """Write out what is still held back. Raises OSError while the reason can still be told."""
    if sys.stdout is not None:
        sys.stdout.flush()


def abandon_output() -> None:
    """Send what is still held back nowhere, so that the interpreter's last flush cannot fail either."""
    with suppress(OSError, ValueError, AttributeError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)


def say_error(sentence: str) -> None:
    """One sentence on the error stream; what was already written to the output comes first."""
    try:
        finish_output()
    except (OSError, ValueError):
        abandon_output()
    with suppress(OSError, ValueError):
        print(f"pedalwright: {sentence}", file=sys.stderr, flush=True)
