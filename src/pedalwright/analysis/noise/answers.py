"""Everything about a circuit's noise: how much, whose, what would help, and what the echo loop adds."""

from dataclasses import dataclass
from functools import cached_property
from hashlib import sha256

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.naming_nets import NetMistake, net_named, spoken
from pedalwright.analysis.noise.bench import NoiseBench
from pedalwright.analysis.noise.conditions import conditions
from pedalwright.analysis.noise.contributors import contributors
from pedalwright.analysis.noise.cures import cures, together
from pedalwright.analysis.noise.echo_share import chips_noise, loop_noise, with_other_chips_v
from pedalwright.analysis.noise.loop import LoopMistake
from pedalwright.analysis.noise.picture import (
    HIGHEST_HZ,
    LOWEST_HZ,
    NoisePictureMistake,
    Picture,
    settled_picture,
)
from pedalwright.analysis.noise.playing import playing_level
from pedalwright.analysis.noise.plugged import PICKUP, STATES, state_words
from pedalwright.analysis.noise.records import InputNoise, NoiseAnswers, PlayingLevel
from pedalwright.analysis.noise.workshop import workshop
from pedalwright.analysis.records import Certified
from pedalwright.analysis.rooms import amplifiers_at_a_rail
from pedalwright.circuit.circuit import GROUND
from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.certificate import RESIDUAL_BOUND, NotCertified

SWINGS = (
    "The circuit oscillates by itself, and not as one of the slow oscillators known here: its noise at rest "
    "is not known."
)
STUCK = "{} rests at a rail and passes no signal, so noise at rest says nothing about the pedal."


def noise_answers(analysis: Analysis, *, source: str = PICKUP, at: str | None = None) -> NoiseAnswers:
    """The noise of a circuit with its knobs as they stand, at the output jack or the net or pin `at`.

    `source` is what the contributors and cures hold for: ``shorted``, ``pickup`` (what the text says is
    plugged in) or ``open``. Raises ValueError for another word and NetMistake for a net that is none; what
    cannot be certified is refused with its reason in the record.
    """
    if source not in STATES:
        raise ValueError(f"'{source}' is none of {', '.join(STATES)}.")
    return _Told(analysis, source, _net(analysis, at)).answers()


def played_noise(analysis: Analysis) -> InputNoise:
    """The noise at the output jack with what the text says plugged in, knobs as they stand, and how far it
    stays below the sound; without contributors and cures.

    Raises NetMistake where the text names no output.
    """
    told = _Told(analysis, PICKUP, _net(analysis, None))
    return told.input_noise(told.chosen)


def _net(analysis: Analysis, word: str | None) -> str:
    if word is not None:
        net = net_named(analysis.circuit, word)
        if net == GROUND or net not in analysis.system.rows:
            raise NetMistake(f"Nothing can be heard at {spoken(net)}; name another net.")
        return net
    if analysis.circuit.output is None:
        raise NetMistake("The text names no output; say where to listen with --at NET.")
    return analysis.circuit.output.net


@dataclass(frozen=True)
class _State:
    """One thing at the jack: its picture, or why there is none."""

    bench: NoiseBench
    picture: Picture | None
    refusal: str


@dataclass(frozen=True)
class _Told:
    """One question, answered piece by piece."""

    analysis: Analysis
    source: str
    net: str

    @cached_property
    def states(self) -> dict[str, _State]:
        """Every state of the input jack; the one as drawn alone where there is no jack."""
        wanted = STATES if self.analysis.circuit.input is not None else (self.source,)
        return {state: self._state(state) for state in wanted}

    def _state(self, state: str) -> _State:
        bench = NoiseBench(self.analysis, state)
        if not self.analysis.rest.certificate.ok:
            says = self.analysis.rest.certificate.says()
            return _State(bench, None, f"The resting voltages are {says}, so nothing is told.")
        if not bench.rest.stays:
            return _State(bench, None, SWINGS)
        if stuck := amplifiers_at_a_rail(self.analysis):
            return _State(bench, None, STUCK.format(", ".join(stuck)))
        try:
            found = settled_picture(bench, self.net)
        except NotCertified as refusal:
            return _State(bench, None, f"The noise is not told: {refusal}.")
        except (LoopMistake, NoisePictureMistake) as mistake:
            return _State(bench, None, str(mistake))
        return _State(bench, found, found.loop.refusal if found.loop is not None else "")

    @property
    def chosen(self) -> _State:
        """The state asked for."""
        return self.states[self.source]

    @cached_property
    def playing(self) -> PlayingLevel | None:
        """The sound at the net."""
        return playing_level(self.analysis, self.net) if self.analysis.rest.certificate.ok else None

    def answers(self) -> NoiseAnswers:
        """The whole record."""
        analysis, found = self.analysis, self.chosen.picture
        moving = (*analysis.circuit.knobs, *analysis.circuit.switches)
        known = found if found is not None and found.shares is not None else None
        whole = contributors(analysis, known) if known is not None else ()
        shop = workshop(self.chosen.bench, known) if known is not None else None
        tried = cures(shop, whole) if shop is not None else ()
        quiet, noisy = with_other_chips_v(known) if known is not None else (None, None)
        return NoiseAnswers(
            title=analysis.circuit.title,
            text_sha256=sha256(analysis.text.encode("utf-8")).hexdigest(),
            settings=tuple((part.ref, str(part.setting)) for part in moving),
            at=spoken(self.net),
            state=self.source,
            temperature_k=analysis.rest.temperature_k,
            low_hz=LOWEST_HZ,
            high_hz=HIGHEST_HZ,
            inputs=tuple(self.input_noise(state) for state in self.states.values()),
            frequency_hz=known.frequencies_hz if known is not None else np.zeros(0),
            density_v_per_rthz=_density(known),
            contributors=whole,
            cures=tuple(one.cure for one in tried if one.in_reason),
            left_aside=tuple(one.cure for one in tried if not one.in_reason),
            together=together(shop, tried) if shop is not None else None,
            playing=self.playing,
            loop=loop_noise(found) if found is not None else None,
            chips=chips_noise(found) if found is not None else (),
            with_quiet_chips_v=quiet,
            with_noisy_chips_v=noisy,
            certificates=self._certificates(),
            conditions=conditions(self.chosen.bench, self.playing) if analysis.rest.certificate.ok else (),
            refusals=tuple(dict.fromkeys(one.refusal for one in self.states.values() if one.refusal)),
        )

    def input_noise(self, state: _State) -> InputNoise:
        """The figures with one thing at the jack."""
        words, found = state_words(self.analysis.circuit, state.bench.state), state.picture
        weighted = flat = ratio = None
        if found is not None and found.shares is not None:
            weighted, flat = (
                float(np.sqrt(found.powers(found.shares, weighted=way).sum())) for way in (True, False)
            )
        if weighted and self.playing is not None:
            ratio = float(20 * np.log10(self.playing.output_v / np.sqrt(2.0) / weighted))
        return InputNoise(
            state=state.bench.state,
            words=words,
            unweighted_v=flat,
            weighted_v=weighted,
            signal_to_noise_db=ratio,
            refusal=state.refusal,
        )

    def _certificates(self) -> tuple[Certified, ...]:
        rest = self.chosen.bench.rest.certificate if self.analysis.rest.certificate.ok else None
        certificates = [("resting voltages", rest or self.analysis.rest.certificate)]
        if self.chosen.picture is not None:
            worst = max(self.chosen.picture.certificates, key=lambda one: one.error)
            certificates.append(("noise", worst))
        return tuple(
            Certified(
                what=what,
                residual=one.residual_a,
                bound=RESIDUAL_BOUND,
                condition=one.condition,
                method=one.method,
                ok=one.ok,
            )
            for what, one in certificates
        )


def _density(found: Picture | None) -> FloatArray:
    if found is None or found.shares is None:
        return np.zeros(0)
    return np.asarray(np.sqrt(found.shares.sum(axis=0)))
