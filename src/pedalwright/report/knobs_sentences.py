"""What is said of a knob, in whole sentences."""

from collections.abc import Iterable
from math import isinf, isnan

from pedalwright.analysis.knob_advice import Padding
from pedalwright.analysis.knob_answers import TRACK_TOLERANCE
from pedalwright.analysis.knob_records import Heard, KnobAnswer
from pedalwright.report.figures import figure
from pedalwright.units.value_writing import print_value

EVEN, FAIR = 0.85, 0.65
"""evenness that is called even, and fairly even (house rule)"""
LOUD = (
    "Where the repeats do not die away they grow until something clips: turn the amplifier down before "
    "trying it, and keep headphones off."
)


def said(value: float, unit: str) -> str:
    """A heard figure for reading."""
    if isnan(value):
        return "not known"
    if unit == "repeats":
        return "no end" if isinf(value) else f"{value:.1f}" if value < 9.95 else f"{value:.0f}"
    if unit == "cents":
        return f"{value:.1f} cents"
    if unit == "s":
        return f"{1000 * value:.0f} ms" if value >= 0.0995 else f"{1000 * value:.1f} ms"
    return figure(value, unit)


def opening(answer: KnobAnswer, heard: Heard) -> str:
    """What the knob does, in one sentence."""
    low, noon, high = (said(value, heard.unit) for value in (heard.at_0, heard.at_noon, heard.at_10))
    return f"From 0 to 10 {_the(heard.name)} goes from {low} to {high}; at 5, half its turn, it is {noon}."


def _the(name: str) -> str:
    return name if name.startswith("the ") else f"the {name}"


def points(answer: KnobAnswer) -> tuple[str, ...]:
    """How its effect is spread, what the track's tolerance does, and what would spread it better."""
    if not answer.heard:
        return ()
    heard = answer.heard[0]
    return (*_spread(heard), *_tolerance(heard), *_advice(answer, heard), *_warnings(heard))


def _spread(heard: Heard) -> Iterable[str]:
    spread = heard.spreading
    if spread is None:
        yield "How evenly it is spread is not told: some positions are not known, or have no figure."
        return
    word = "even" if spread.evenness >= EVEN else "fairly even" if spread.evenness >= FAIR else "uneven"
    yield (
        f"Over the turn the change is {word} (evenness {100 * spread.evenness:.0f} of 100); half of it lies "
        f"between {spread.half_from:.1f} and {spread.half_to:.1f}."
    )
    if spread.dead:
        stretches = " and ".join(f"{low:.1f} and {high:.1f}" for low, high in spread.dead)
        yield f"Next to nothing happens between {stretches}."
    if spread.turns_round:
        yield "On the way it turns round: part of the change goes the other way."


def _tolerance(heard: Heard) -> Iterable[str]:
    found = heard.tolerance
    if found is None:
        return
    each = []
    for turn in (0, 5, 10):
        low, high = (said(float(values[turn]), heard.unit) for values in (found.smaller, found.larger))
        if low != high:
            each.append(f"at {turn}: {low} to {high}")
    percent = f"{100 * TRACK_TOLERANCE:.0f} %"
    if each:
        yield f"With a track {percent} too small to {percent} too large, {'; '.join(each)}."
    else:
        yield f"A track {percent} too small or too large changes nothing that is heard at the ends or at 5."


def _advice(answer: KnobAnswer, heard: Heard) -> Iterable[str]:
    advice = heard.advice
    if advice is None:
        return
    if advice.law is not None:
        score = next(one.evenness for one in advice.laws if one.law == advice.law)
        yield (
            f"A track of the law {advice.law} instead of {answer.law} would spread it more evenly: "
            f"{100 * (score or 0.0):.0f} of 100."
        )
    if advice.padding is not None:
        yield _padding(advice.padding, heard.unit)
    if advice.law is None and advice.padding is None:
        yield "No usual law, and no resistor beside the track, spreads it clearly better."


def _padding(padding: Padding, unit: str) -> str:
    return (
        f"Or keep the {padding.law} track and solder {print_value(padding.ohms, 'ohm')} from the wiper "
        f"to lug {padding.end}: {100 * padding.evenness:.0f} of 100, from {said(padding.at_0, unit)} at 0 "
        f"to {said(padding.at_10, unit)} at 10."
    )


def _warnings(heard: Heard) -> Iterable[str]:
    if heard.sort == "repeats" and any(isinf(value) for value in heard.values):
        yield LOUD


def certificate(answer: KnobAnswer) -> str:
    """How far the figures can be trusted."""
    count, known = len(answer.dial), int(answer.certified.sum())
    return (
        f"{known} of {count} positions solved and put back into their equations; the largest residual is "
        f"{answer.residual:.0e}, allowed is {answer.bound:.0e}."
    )
