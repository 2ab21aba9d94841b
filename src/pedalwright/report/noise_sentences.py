"""The noise of a circuit in sentences."""

from collections.abc import Iterable
from math import log10

from pedalwright.analysis.noise.records import ChipNoise, Contributor, Cure, NoiseAnswers, dbv
from pedalwright.report.figures import figure, percent

NEXT_TO_NOTHING_DB = 0.05
WORTH_SAYING = 0.1
"""a share from which what is outside the pedal is worth a sentence"""
HEARD = 0.5
"""a share from which one contributor is said to make most of it"""


def level(volts: float | None) -> str:
    """A level in dBV to a tenth; ``not known`` for none."""
    found = dbv(volts)
    return "not known" if found is None else f"{found:.1f} dBV"


def opening(answers: NoiseAnswers) -> Iterable[str]:
    """The noise in a few sentences."""
    chosen = answers.chosen
    if chosen is None or chosen.weighted_v is None:
        return
    if not chosen.weighted_v:
        yield f"With {chosen.words} nothing at all is heard at {answers.at}: something holds it to ground."
        return
    yield (
        f"With {chosen.words} it hisses {figure(chosen.weighted_v, 'V')} at {answers.at}, A-weighted "
        f"({level(chosen.weighted_v)}); {figure(chosen.unweighted_v, 'V')} flat from "
        f"{figure(answers.low_hz, 'Hz')} to {figure(answers.high_hz, 'Hz')}."
    )
    yield from _against_sound(answers, chosen.signal_to_noise_db)
    yield from _mostly(answers.contributors)
    if answers.cures:
        best = max(answers.cures, key=lambda cure: (cure.keeps_level, cure.better_db))
        yield f"What helps most: {best.says}, {best.better_db:.1f} dB better."


def _against_sound(answers: NoiseAnswers, ratio_db: float | None) -> Iterable[str]:
    playing = answers.playing
    if playing is None or ratio_db is None:
        yield "No sound arrives there to set it against at these knob positions."
        return
    clipped = f", clipped at {playing.clipped_at}" if playing.clipped_at else ""
    yield (
        f"That is {ratio_db:.0f} dB below the sound of a {figure(playing.input_v, 'V')} peak at the input, "
        f"which is {figure(playing.output_v, 'V')} there at {figure(playing.frequency_hz, 'Hz')}{clipped}."
    )


def _mostly(whole: tuple[Contributor, ...]) -> Iterable[str]:
    if not whole or whole[0].weighted_share <= 0:
        return
    first = whole[0]
    share = f"{100 * first.weighted_share:.0f} %"
    if first.weighted_share >= HEARD:
        yield f"{share} of it is made by {first.name}."
    else:
        rest = ", ".join(one.name for one in whole[1:3] if one.weighted_share >= 0.05)
        yield f"{first.name} makes {share} of it{f', then come {rest}' if rest else ''}."


def loop_sentence(answers: NoiseAnswers) -> str:
    """What the repeats add to the noise."""
    loop = answers.loop
    if loop is None:
        return "Nothing delayed is delayed again, so no noise builds up." if answers.chips else ""
    back = f"{percent(loop.once_round)} comes back once round at the most, near {figure(loop.peak_hz, 'Hz')}"
    if loop.buildup_db is None:
        return (
            f"{back}: by how much the noise builds up is not known; with nothing coming back it is "
            f"{figure(loop.opened_v, 'V')} A-weighted."
        )
    if loop.buildup_db < NEXT_TO_NOTHING_DB:
        return f"{back}; that builds the noise up by less than 0.1 dB."
    return f"{back}; that builds the noise up by {loop.buildup_db:.1f} dB, A-weighted."


def chip_sentence(chip: ChipNoise) -> str:
    """One chip's conversion noise."""
    arriving = "" if chip.output_v is None else f"; {figure(chip.output_v, 'V')} of it arrives, A-weighted"
    return (
        f"{chip.ref} at {figure(chip.delay_s, 's')}: {chip.typical_dbv:.0f} dBV at pin 12, A-weighted, an "
        f"estimate; {chip.quiet_dbv:.0f} to {chip.noisy_dbv:.0f} dBV from chip to chip{arriving}."
    )


def other_chips_sentence(answers: NoiseAnswers) -> str:
    """The whole noise with the quietest and the noisiest chips."""
    if answers.with_quiet_chips_v is None or answers.with_noisy_chips_v is None:
        return ""
    return (
        f"With the quietest chips of the data sheet the whole is {level(answers.with_quiet_chips_v)}, with "
        f"the noisiest {level(answers.with_noisy_chips_v)}, A-weighted."
    )


def floor_sentences(answers: NoiseAnswers) -> Iterable[str]:
    """How much of the noise comes in from outside, which no change inside the pedal can take away."""
    chosen = answers.chosen
    for one in answers.contributors:
        if not one.ref and one.weighted_share >= WORTH_SAYING and chosen is not None and chosen.weighted_v:
            less = -10 * log10(one.weighted_share)
            yield (
                f"{one.label[0].upper()}{one.label[1:]} alone is heard with {figure(one.weighted_v, 'V')}, "
                f"{less:.1f} dB less than all together: no change in the pedal gets below that."
            )


def aside_sentence(cure: Cure) -> str:
    """A change that would help at too high a price."""
    return f"{cure.says}: {cure.better_db:.1f} dB better. {' '.join(cure.side_effects)}"


def cure_texts(cure: Cure) -> tuple[str, ...]:
    """What a change does, and what it costs."""
    return (
        f"Noise {figure(cure.noise_db, 'dB')}, sound {figure(cure.level_db, 'dB')} at 1 kHz.",
        *cure.side_effects,
    )
