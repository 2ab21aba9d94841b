"""One mistake judged: does it matter, and does the review see it?"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from math import log10

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.circuit import GROUND, Circuit
from pedalwright.circuit.remark import Remark
from pedalwright.notation import examine, write_circuit
from pedalwright.review.reviewing import Review, Spoken, review

from .choosing import Chosen, healthy
from .measuring import (
    CHANGED_DB,
    DELAY_SHARE,
    HUM_DB,
    HUM_HEARD_DB,
    MOVED_V,
    QUIET_DB,
    RATE_FACTOR,
    Measured,
)
from .mutant import rails

REFUSED = "refused"
FAINT_V = 1e-3
"""a tone below this is silence on either bench"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What became of one mistake.

    `matters` are the reasons, none when it does not matter. `by` is the rule (or the remark) that says so,
    `gravity` how gravely; both empty when nothing new is said. `blamed` is ``part`` when a finding names the
    very part, ``beside`` when it names a neighbour on one of its nets, ``elsewhere`` when neither.
    """

    key: str
    matters: tuple[str, ...]
    by: str
    gravity: str
    blamed: str

    @property
    def is_caught(self) -> bool:
        """Something new was said, about the part or a neighbour."""
        return self.blamed in ("part", "beside")


@cache
def measured(name: str) -> Measured:
    """A healthy circuit on the bench."""
    return Measured(healthy(name))


@cache
def reviewed(name: str) -> Review:
    """What is said about a healthy circuit."""
    return review(Analysis(healthy(name)))


def judge(one: Chosen) -> Outcome:
    """Measure the mistake, ask the review, and compare."""
    reading = examine(write_circuit(one.mutant.circuit))
    if reading.circuit is None:
        codes = [remark.code for remark in reading.remarks]
        return Outcome(
            key=one.key, matters=("the text is refused",), by=codes[0], gravity=REFUSED, blamed="part"
        )
    matters = tuple(differences(measured(one.name), Measured(reading.circuit)))
    by, gravity, blamed = caught(one, reading.circuit)
    return Outcome(key=one.key, matters=matters, by=by, gravity=gravity, blamed=blamed)


def differences(well: Measured, ill: Measured) -> Iterable[str]:
    """Every reason for which the ill circuit is not as good as the well one."""
    yield from _at_rest(well, ill)
    yield from _levels(well, ill)
    if ill.strained - well.strained:
        yield f"strained: {', '.join(sorted(ill.strained - well.strained)[:3])}"
    if ill.hum_db > max(well.hum_db + HUM_DB, HUM_HEARD_DB):
        yield f"hum from the supply at {ill.hum_db:.0f} dB"
    yield from _tones(well, ill)
    yield from _echoes(well, ill)
    yield from _rates(well, ill)
    if ill.open_jacks - well.open_jacks:
        yield f"pops: {', '.join(sorted(ill.open_jacks - well.open_jacks))}"


def _at_rest(well: Measured, ill: Measured) -> Iterable[str]:
    if ill.rest_v is None:
        if well.rest_v is not None:
            yield "the resting voltages cannot be certified"
        return
    before = well.rest_v or {}
    moved = {name: abs(volts - before[name]) for name, volts in ill.rest_v.items() if name in before}
    worst = max(moved, key=lambda name: moved[name], default=None)
    if worst is not None and moved[worst] > MOVED_V:
        yield f"{worst} rests {moved[worst]:.1f} V elsewhere"


def _levels(well: Measured, ill: Measured) -> Iterable[str]:
    for says, before in well.level_db.items():
        after = ill.level_db.get(says)
        if before is None:
            continue
        if after is None:
            yield f"no level at the output, {says}"
            return
        loud = np.maximum(before, after) > max(before.max(), after.max()) - QUIET_DB
        change = float(np.max(np.abs(after - before)[loud]))
        if change > CHANGED_DB:
            yield f"level changed by {min(change, 99):.0f} dB, {says}"
            return


def _tones(well: Measured, ill: Measured) -> Iterable[str]:
    if well.tone_v is None:
        return
    if ill.tone_v is None:
        yield "a tone cannot be played through it"
        return
    before, after = float(np.linalg.norm(well.tone_v)), float(np.linalg.norm(ill.tone_v))
    apart = float(np.linalg.norm(ill.tone_v - well.tone_v))
    if apart > (10 ** (CHANGED_DB / 20) - 1) * max(before, FAINT_V):
        yield f"a tone sounds different ({after / max(before, 1e-9):.2g} times as loud)"


def _echoes(well: Measured, ill: Measured) -> Iterable[str]:
    for name, before in well.echoes.items():
        after = ill.echoes.get(name)
        if after is None:
            yield f"echo: {name} is lost"
            return
        if isinstance(before, str) or isinstance(after, str):
            if before != after:
                yield f"echo: {name} {after}"
        elif before is not None and _echo_moved(name, before, after):
            yield f"echo: {name} {before:.3g} became {after:.3g}"
            return


def _echo_moved(name: str, before: float, after: float) -> bool:
    what = name.partition(",")[0]
    if what.endswith("delay"):
        return abs(after / before - 1) > DELAY_SHARE
    if what.endswith("level"):
        return abs(after - before) > CHANGED_DB
    return abs(20 * log10(max(after, 1e-6) / max(before, 1e-6))) > CHANGED_DB


def _rates(well: Measured, ill: Measured) -> Iterable[str]:
    if len(well.rates_hz) != len(ill.rates_hz):
        yield "a slow oscillator stops or starts"
        return
    for before, after in zip(well.rates_hz, ill.rates_hz, strict=True):
        if not 1 / RATE_FACTOR < after / before < RATE_FACTOR:
            yield f"a slow oscillator at {after:.2g} Hz in place of {before:.2g} Hz"


def caught(one: Chosen, ill: Circuit) -> tuple[str, str, str]:
    """The gravest new thing said that blames the right place best: who says it, how gravely, and of whom."""
    near = neighbours(one, ill)
    lines = {supply.span.line for supply in ill.supplies if supply.net in one.mutant.culprits}
    told = review(Analysis(ill))
    known = {_mark(spoken) for spoken in reviewed(one.name).found}
    new = [spoken for spoken in told.found if _mark(spoken) not in known]
    ranked = [
        (_blame(one, near, lines, spoken), spoken.gravity.rank, spoken.rule.code, spoken.gravity.name.lower())
        for spoken in new
    ]
    remarks = {(remark.code, remark.what) for remark in healthy(one.name).cautions}
    ranked += [
        (_blame_of_remark(one, near, remark), 9, remark.code, "remark")
        for remark in ill.cautions
        if (remark.code, remark.what) not in remarks
    ]
    if not ranked:
        return "", "", ""
    right = [entry for entry in ranked if entry[0] < ELSEWHERE]
    blame, _, by, gravity = min(right or ranked, key=lambda entry: (entry[1], entry[0]))
    return by, gravity, BLAMES[min(entry[0] for entry in right) if right else blame]


PART, BESIDE, ELSEWHERE = 0, 1, 2
BLAMES = ("part", "beside", "elsewhere")


def _mark(spoken: Spoken) -> tuple[str, frozenset[str], str]:
    return spoken.rule.code, frozenset((*spoken.finding.parts, *spoken.finding.nets)), spoken.gravity.name


def neighbours(one: Chosen, ill: Circuit) -> frozenset[str]:
    """Parts and nets that the mistake touches: the nets the culprits were and are on, and who is on them.

    Ground and fed nets are everyone's, and make nobody a neighbour; but of a supply that is wrong everything
    on the nets it feeds is, and of a part between fed nets alone everything on those.
    """
    found: set[str] = set()
    for circuit in (healthy(one.name), ill):
        fed = rails(circuit)
        known = circuit.by_ref
        nets = {net for ref in one.mutant.culprits if ref in known for net in known[ref].nets}
        supplies = {supply.net for supply in circuit.supplies} & set(one.mutant.culprits)
        whole = fed if supplies else nets if nets <= fed else set()
        for net in (nets - fed) | (whole - {GROUND}):
            found |= {net, *(pin.part.ref for pin in circuit.pins_on.get(net, ()))}
        found |= nets & fed - {GROUND}
    return frozenset(found)


def _blame(one: Chosen, near: frozenset[str], lines: set[int], spoken: Spoken) -> int:
    named = {*spoken.finding.parts, *spoken.finding.nets}
    packages = named | {ref[:-1] for ref in named if ref[-1:].islower()}
    if packages & set(one.mutant.culprits) or lines & {span.line for span in spoken.spans}:
        return PART
    return BESIDE if packages & near else ELSEWHERE


def _blame_of_remark(one: Chosen, near: frozenset[str], remark: Remark) -> int:
    words = set(remark.what.replace(".", " ").replace(",", " ").split())
    if words & set(one.mutant.culprits):
        return PART
    return BESIDE if words & near else ELSEWHERE
