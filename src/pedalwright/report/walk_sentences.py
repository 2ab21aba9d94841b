"""The walk-through's figures as sentences, the same in every medium."""

import re
from collections.abc import Iterable

from pedalwright.analysis.naming_nets import spoken
from pedalwright.analysis.records import (
    Certified,
    Effect,
    Level,
    Overall,
    ProofSummary,
    Walk,
    WalkPart,
    WalkStage,
)
from pedalwright.circuit.remark import Remark
from pedalwright.report.figures import figure, percent, residual
from pedalwright.report.walk_echo_glance import echo_glance
from pedalwright.solve.corners import Dip
from pedalwright.stages.wording import listed

DEEP_DB = 60
LOADED, LOADED_DB = 0.1, 0.9
"""share, and decibels, by which a gain must differ to be explained (house rule)"""
GAIN_WORDS = ("gain", "share passed on")
LOUDEST = "the loudest signal expected"
SOURCES = {
    "pickup": "a magnetic pickup with its volume knob and cable",
    "buffered": "another pedal or an active instrument",
    "line": "a line output at studio level",
}


def opening(walk: Walk) -> tuple[str, ...]:
    """What comes in, what goes out, and what happens between, in a few sentences."""
    return tuple(
        sentence for sentence in (_comes_in(walk), _goes_out(walk), _happens(walk.overall)) if sentence
    )


def _comes_in(walk: Walk) -> str:
    if walk.source is None:
        return ""
    words = SOURCES.get(walk.source.source, f"a source of {figure(walk.source.ohms, 'ohm')}")
    level = figure(walk.source.level_v, "V")
    return f"The signal comes in at {walk.source.net} from {words}, up to {level} peak."


def _goes_out(walk: Walk) -> str:
    if walk.load is None:
        return ""
    ohms = figure(walk.load.ohms, "ohm")
    return f"It leaves at {walk.load.net} for whatever follows, taken as {ohms} to ground."


def _happens(overall: Overall) -> str:
    if overall.gain_db is None:
        return ""
    at = figure(overall.reference_hz, "Hz")
    if abs(overall.gain_db) < 0.5:
        change = f"at {at} it is neither louder nor softer ({figure(overall.gain_db, 'dB')})"
    else:
        louder = "louder" if overall.gain_db > 0 else "softer"
        change = f"at {at} it is {abs(overall.gain_db):.1f} dB {louder}"
    return f"On the way, {change}; {_band(overall)}."


def _band(overall: Overall) -> str:
    low = f"bass below {figure(overall.low_corner_hz, 'Hz')}" if overall.low_corner_hz else ""
    high = f"treble above {figure(overall.high_corner_hz, 'Hz')}" if overall.high_corner_hz else ""
    verb = "fall" if low and high else "falls"
    ends = f"{' and '.join(filter(None, (low, high)))} {verb} away by more than 3 dB" if low or high else ""
    between = listed([_dip(dip) for dip in overall.dips])
    return "; ".join(filter(None, (ends, between))) or "nothing within the band looked at falls by 3 dB"


def _dip(dip: Dip) -> str:
    return f"a dip near {figure(dip.frequency_hz, 'Hz')}, {_depth(dip)} deep"


def _depth(dip: Dip) -> str:
    """A very deep notch is as deep as the parts are alike: its depth on paper is no figure to wait for."""
    return f"more than {DEEP_DB} dB" if dip.depth_db > DEEP_DB else f"{dip.depth_db:.1f} dB"


def glance(walk: Walk) -> tuple[tuple[str, str], ...]:
    """The pedal's figures, name and value."""
    overall = walk.overall
    at = figure(overall.reference_hz, "Hz")
    rows = [
        *(_through(overall, at) if (walk.source and walk.load) or walk.refusals else ()),
    ]
    rows += echo_glance(walk.echo)
    jacks = (
        (f"input impedance at {at}", overall.input_ohms, walk.source),
        (f"output impedance at {at}", overall.output_ohms, walk.load),
    )
    rows += [(name, figure(ohms, "ohm")) for name, ohms, jack in jacks if jack or walk.refusals]
    fed = {supply.net: f" ({figure(supply.volts, 'V')} {supply.source})" for supply in walk.supplies}
    rows += [
        (f"current from {net}{fed.get(net, '')}", figure(amperes, "A")) for net, amperes in overall.supply_a
    ]
    rows += [(name, f"at {_position(position)}") for name, position in walk.settings]
    return tuple(rows)


def _through(overall: Overall, at: str) -> Iterable[tuple[str, str]]:
    """What becomes of a sound on the way from jack to jack."""
    yield from _levels(overall, at)
    yield "bass corner (3 dB down)", _corner(overall, overall.low_corner_hz, "below the band looked at")
    yield "treble corner (3 dB down)", _corner(overall, overall.high_corner_hz, "above the band looked at")
    for dip in overall.dips:
        yield "dip", f"near {figure(dip.frequency_hz, 'Hz')}, {_depth(dip)} deep"


def _levels(overall: Overall, at: str) -> Iterable[tuple[str, str]]:
    """The gain from jack to jack, and beside it how loud the first repeats come out."""
    dry = ", dry sound" if overall.repeats_db else ""
    yield f"gain at {at}, jack to jack{dry}", figure(overall.gain_db, "dB")
    for ref, level_db in overall.repeats_db:
        chip = f" of {ref}" if len(overall.repeats_db) > 1 else ""
        yield f"gain at {at}, jack to jack, first repeat{chip}", figure(level_db, "dB")


def _corner(overall: Overall, corner_hz: float | None, otherwise: str) -> str:
    return otherwise if corner_hz is None and overall.gain_db is not None else figure(corner_hz, "Hz")


def _position(position: str) -> str:
    """A knob's position without needless digits; a switch's as it is."""
    return position.removesuffix(".0") if re.fullmatch(r"\d+\.0", position) else position


def effect_sentences(part: WalkPart) -> tuple[str, ...]:
    """What the next larger and the next smaller value would do."""
    larger, smaller = part.larger, part.smaller
    if larger and smaller and not larger.changes and not smaller.changes:
        either = f"One step larger ({larger.value_text}) or smaller ({smaller.value_text})"
        return (f"{either}: nothing measured moves noticeably.",)
    said = []
    if larger:
        said.append(f"One step larger ({larger.value_text}): {_changes(larger)}.")
    if smaller:
        said.append(f"One step smaller ({smaller.value_text}): {_changes(smaller)}.")
    return tuple(said)


def _changes(effect: Effect) -> str:
    if not effect.changes:
        return "nothing measured moves noticeably"
    return "; ".join(change.rstrip(". ") for change in effect.changes)


def noticed(stages: Iterable[WalkStage]) -> tuple[str, ...]:
    """What counts as noticeable: one sentence for each bound the effects were told with."""
    effects = [
        effect for stage in stages for part in stage.parts for effect in (part.larger, part.smaller) if effect
    ]
    bounds = dict.fromkeys(effect.below for effect in effects if effect.below)
    return tuple(f"Noticeably means by at least {bound}." for bound in bounds)


def also_sentence(part: WalkPart) -> str:
    """The secondary roles of a part, or an empty string."""
    if not part.also:
        return ""
    return (
        "It serves a second time: "
        + "; ".join(f"{role} of the {kind.replace('-', ' ')}" for kind, role in part.also)
        + "."
    )


def loading(stage: WalkStage) -> tuple[str, ...]:
    """How the gain differs from the formula's with the rest of the circuit attached; none where it hardly
    does.
    """
    told: dict[str, str] = {}
    for number in stage.numbers:
        closed, full, name = number.closed, number.full, number.name.replace("~", "")
        if closed is None or full is None or not any(word in name for word in GAIN_WORDS):
            continue
        whence = name.partition(" from ")[2]
        if whence not in told and _is_loaded(closed, full, number.unit):
            by_itself, attached = figure(closed, number.unit), figure(full, number.unit)
            told[whence] = f"With what follows attached, the {name} is {attached} instead of {by_itself}."
    return tuple(told.values())


def _is_loaded(closed: float, full: float, unit: str) -> bool:
    if unit == "dB":
        return abs(full - closed) > LOADED_DB
    return unit == "x" and closed != 0 and abs(full / closed - 1) > LOADED


def level_sentence(level: Level) -> str:
    """The signal at a net and the room left."""
    net, at = spoken(level.net), f"at {figure(level.frequency_hz, 'Hz')}"
    limit = f" ({level.limited_by} comes first)" if level.limited_by else ""
    if level.level_v is None and level.limit_v is not None and not level.from_jack:
        return f"{net}: there is room for {figure(level.limit_v, 'V')} peak{limit}."
    if level.level_v is None and level.limit_v is None:
        return f"{net}: next to no signal from the jack arrives here, and no limit is known."
    if level.level_v is None:
        room = f"there is room for {figure(level.limit_v, 'V')} peak{limit}"
        return f"{net}: next to no signal from the jack arrives here; {room}."
    whence = f"what {spoken(level.clipped_at)} lets through" if level.clipped_at else LOUDEST
    if level.headroom_db is not None and level.headroom_db < 0:
        needed = f"{whence} would need {figure(level.level_v, 'V')} {at}"
        said = f"{net}: it clips at {figure(level.limit_v, 'V')} peak{limit}"
        return f"{said}; {needed}, {_headroom(level.headroom_db)}."
    said = f"{net}: {figure(level.level_v, 'V')} peak {at} from {whence}"
    if level.limit_v is None:
        return said + "."
    return f"{said}; it clips at {figure(level.limit_v, 'V')} peak{limit}, {_headroom(level.headroom_db)}."


def _headroom(headroom_db: float | None) -> str:
    if headroom_db is None:
        return "and the headroom is not known"
    if headroom_db < 0:
        return f"so it clips by {-headroom_db:.1f} dB"
    return f"which leaves {headroom_db:.1f} dB of headroom"


def impedances(stage: WalkStage, reference_hz: float) -> tuple[tuple[str, str], ...]:
    """What the stage shows to the one before and to the one after; only what is known."""
    at = figure(reference_hz, "Hz")
    rows = [
        (f"impedance looking in at {at}", stage.input_ohms),
        (f"impedance looking back at {at}", stage.output_ohms),
    ]
    return tuple((name, figure(ohms, "ohm")) for name, ohms in rows if ohms is not None)


def proof_figures(proof: ProofSummary) -> str:
    """The figures behind the verdict, or an empty string when there are none."""
    said = []
    if proof.v1 is not None:
        said.append(f"residual {residual(proof.v1)} (bound {residual(proof.v1_bound)})")
    if proof.bias_shift is not None:
        said.append(f"bias nets as built shift the gain by {percent(proof.bias_shift)}")
    if proof.amplifier_shift is not None:
        said.append(f"real amplifiers shift it by {percent(proof.amplifier_shift)}")
    return "; ".join(said)


def certificate_sentence(certified: Certified) -> str:
    """How far one group of numbers can be trusted."""
    state = "certified" if certified.ok else "NOT certified"
    return (
        f"{certified.what}: {state}; residual {residual(certified.residual)} against a bound of "
        f"{residual(certified.bound)}, condition {residual(certified.condition)}, by {certified.method}."
    )


def remark_sentence(remark: Remark) -> str:
    """A remark on the text in one line."""
    place = f"Line {remark.span.line}: " if remark.span else ""
    return f"{place}{remark.what} {remark.why} {remark.cure} [{remark.code}]"


def is_sound(walk: Walk) -> bool:
    """True when every stage is confirmed, every group of numbers certified, and nothing had to be refused."""
    confirmed = all(stage.proof.confirmed for stage in walk.stages)
    return confirmed and all(certified.ok for certified in walk.certificates) and not walk.refusals
