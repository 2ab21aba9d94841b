"""An echo in sentences."""

from collections.abc import Iterable

from pedalwright.analysis.echo_records import ChipAnswer, EchoAnswers, RepeatsKnob
from pedalwright.echo.chip import Start
from pedalwright.report.figures import figure, percent

STARTS = {
    Start.SURE: "Its clock is sure to start: never less than 2 kΩ at pin 6 (common practice).",
    Start.RISKY: "With less than 2 kΩ at pin 6 its clock may fail to start now and then (common practice).",
    Start.FAILS: "With less than 1 kΩ at pin 6 its clock may not start at all (data sheet, note 5).",
    Start.HELPED: "A transistor keeps pin 6 from ground until the clock runs.",
}
MUTE = "After switch-on the chip stays silent and comes up within 400 ms (data sheet)."
SIDE = {1: "in step with", -1: "upside down against"}


def opening(answers: EchoAnswers) -> Iterable[str]:
    """The echo in a few sentences."""
    loop = answers.loop
    if loop is None or not answers.repeats:
        return
    first = answers.repeats[0]
    dry = (
        ""
        if first.against_dry_db is None
        else f", {figure(first.against_dry_db, 'dB')} against the dry sound"
    )
    yield (
        f"The first repeat comes after {figure(first.time_s, 's')}{dry} "
        f"at {figure(answers.reference_hz, 'Hz')}{_side(answers)}."
    )
    if not loop.recirculates:
        yield "Nothing of a repeat is delayed again: it comes once."
        return
    yield from _ringing(answers)
    yield from map(knob_sentence, answers.repeats_knobs)


def _side(answers: EchoAnswers) -> str:
    if answers.dry_db is None:
        return ""
    return f", {SIDE[answers.repeats[0].polarity * answers.dry_polarity]} it"


def _ringing(answers: EchoAnswers) -> Iterable[str]:
    if answers.silent_after is None or answers.silent_after_s is None:
        yield "The repeats do not die away within those looked at."
        return
    plural = "s are" if answers.silent_after > 1 else " is"
    yield (
        f"{answers.silent_after} repeat{plural} less than 60 dB below the loudest; "
        f"the last of them comes after {figure(answers.silent_after_s, 's')}."
    )


def knob_sentence(knob: RepeatsKnob) -> str:
    """Where a repeats knob runs the loop away."""
    found = knob.runaway
    if found.now.gain >= 1.0:
        near = figure(found.now.frequency_hz, "Hz")
        return f"{knob.knob} stands where the repeats grow by themselves, near {near}."
    full = f"fully up the loop returns {percent(found.full.gain)} of what set out, most near "
    if found.position is None:
        typical = f"{knob.knob} does not reach where repeats grow, with typical chips: "
        return f"{typical}{full}{figure(found.full.frequency_hz, 'Hz')}."
    return (
        f"{knob.knob} lets the repeats grow by themselves from {dial(found.position)} on (typical chips); "
        f"{figure(found.howl_hz, 'Hz')} howls first."
    )


def builds_sentences(knob: RepeatsKnob) -> Iterable[str]:
    """The same over many builds."""
    low, middle, high = knob.margin_percentiles_db
    yield (
        f"Of {knob.builds} builds {_share(knob.share_running_away)} run away somewhere on the dial, "
        f"{_share(knob.share_running_away_now)} with {knob.knob} at {dial(knob.now)}."
    )
    places = ", ".join(
        f"{word} {'beyond the end of the dial' if place is None else 'below ' + dial(place)}"
        for word, place in zip(("5 %", "half", "95 %"), knob.position_percentiles, strict=True)
    )
    yield f"They begin to run away: {places}."
    yield (
        f"Margin with {knob.knob} at {dial(knob.now)}: {figure(low, 'dB')} (5 % have less), "
        f"{figure(middle, 'dB')} (half), {figure(high, 'dB')} (95 %)."
    )


def _share(share: float) -> str:
    return "none" if share == 0 else percent(share)


def bass_warning(knob: RepeatsKnob) -> str:
    """A word where a sum on paper would mislead; empty where it would not."""
    found = knob.runaway
    if found.bass_sum < 1.0 <= found.now.gain:
        near = figure(found.now.frequency_hz, "Hz")
        return (
            f"The gains into one chip add up to {found.bass_sum:.3f} at low frequencies, which looks safe "
            f"and is not: the filters peak near {near}, where it is {found.now.gain:.3f}."
        )
    return ""


def chip_sentences(answer: ChipAnswer) -> Iterable[str]:
    """What there is to say of one chip beside its figures."""
    state = answer.state
    yield STARTS[state.start]
    if answer.coder_peak_v is not None and answer.highest_clean_hz is not None:
        peak, clean = figure(answer.coder_peak_v, "V"), figure(answer.highest_clean_hz, "Hz")
        yield (
            f"The loudest sound expected reaches {peak} peak at its coder at 1 kHz, direct sound alone. That "
            f"is followed cleanly up to {clean}; above, it turns into a triangle and loses treble (measured)."
        )
    yield from state.remarks


def shift_facts(answer: ChipAnswer) -> Iterable[tuple[str, str]]:
    """By how much supply and temperature move the delay."""
    found = answer.shifts
    source = f"({found.mark.value}, delays of 50 to 600 ms)"
    if found.at_supply_s is not None:
        beyond = "" if found.supply_measured else ", beyond the supplies measured, carried on straight"
        supply = f"{answer.state.supply_v:.2f} V"
        yield f"delay shift at {supply}", f"up to ±{figure(found.at_supply_s, 's')}{beyond} {source}"
    yield "delay shift, supply", f"{_shifts(found.over_supply, 'V')} {source}"
    yield "delay shift, temperature", f"{_shifts(found.over_temperature, '°C')} {source}"


def _shifts(pairs: tuple[tuple[float, float], ...], unit: str) -> str:
    return ", ".join(f"up to ±{figure(shift, 's')} at {cause:g} {unit}" for cause, shift in pairs)


def dial(position: float | None) -> str:
    """A place of the dial."""
    if position is None:
        return "beyond the dial"
    return "10" if position >= 9.95 else f"{position:.2g}"


def beats_per_minute(delay_s: float) -> str:
    """The tempo at which a repeat falls on the next beat."""
    return f"{60.0 / delay_s:.0f}" if delay_s > 0 else "-"
