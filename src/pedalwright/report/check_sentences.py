"""What a review says in words, alike in every medium."""

from collections.abc import Iterable, Sequence

from pedalwright.analysis.headroom import Rung
from pedalwright.analysis.naming_nets import spoken
from pedalwright.circuit.remark import Remark
from pedalwright.circuit.span import Span
from pedalwright.report.figures import NOT_KNOWN, figure
from pedalwright.review.acceptance import Idle
from pedalwright.review.reviewing import Review, Silent, Spoken
from pedalwright.review.rule import Evidence, Gravity
from pedalwright.review.want_words import margin_words, want_figure
from pedalwright.review.wants import WantAnswer

COUNTED = {
    Gravity.DAMAGE: "that will damage something",
    Gravity.DEAD: "that will keep it from working",
    Gravity.POOR: "that will disappoint",
    Gravity.NOTE: "worth knowing",
}
UNITS = {"C": "°C"}


def verdict(review: Review) -> str:
    """The answer in one sentence, for the head of the page."""
    if review.of(Gravity.DAMAGE):
        return "Do not switch it on yet: something will be damaged."
    if review.of(Gravity.DEAD):
        return "Built like this it will not work."
    if review.misses_a_want:
        return "It will work, but it does not do all that its text wants."
    if review.of(Gravity.POOR):
        return "It will work, but something about it will disappoint."
    if not review.is_whole:
        return "The rules that were asked find nothing that speaks against building it."
    if review.unanswered:
        return "Nothing was found by the rules that could judge."
    return "Nothing was found that speaks against building it."


def summary(review: Review) -> str:
    """One line: how many findings of each gravity, how many accepted, how many rules."""
    counts = [f"{len(found)} {words}" for gravity, words in COUNTED.items() if (found := review.of(gravity))]
    said = f"{_findings(len(review.found))}{': ' if counts else ''}{', '.join(counts)}"
    accepted = f"; {len(review.accepted)} accepted" if review.accepted else ""
    unanswered = f", of which {len(review.unanswered)} could not judge" if review.unanswered else ""
    rules = "rule" if review.rules_asked == 1 else "rules"
    return f"{said}{accepted}; {review.rules_asked} {rules} asked{unanswered}."


def _findings(count: int) -> str:
    return "No finding" if count == 0 else "1 finding" if count == 1 else f"{count} findings"


def name_of(spoken: Spoken | Silent) -> str:
    """The rule's code and name: ``S01 electrolytic-backwards``."""
    return f"{spoken.rule.code} {spoken.rule.name}"


def heading_of(gravity: Gravity) -> str:
    """The heading its findings stand under."""
    return gravity.value.capitalize()


def measured(evidence: Evidence) -> str:
    """One figure with its limits and conditions: ``voltage across: 5 V, at most 0.3 V (TIME at 0)``."""
    unit = evidence.unit
    limits = (_limit("at least", evidence.low, unit), _limit("at most", evidence.high, unit))
    said = ", ".join(filter(None, (f"{evidence.name}: {_figure(evidence.value, unit)}", *limits)))
    return f"{said} ({evidence.basis})" if evidence.basis else said


def _limit(words: str, value: float | None, unit: str) -> str:
    return "" if value is None else f"{words} {_figure(value, unit)}"


def _figure(value: float, unit: str) -> str:
    return figure(value, UNITS.get(unit, unit))


def want_row(answer: WantAnswer) -> tuple[str, str, str, str]:
    """A want as written, what was measured, by how much it is met or missed, and the conditions."""
    value = NOT_KNOWN if answer.value is None else want_figure(answer.value, answer.unit)
    return answer.want.text, value, margin_words(answer), answer.basis or answer.why_not


def ladder_row(rung: Rung) -> tuple[str, ...]:
    """A net, the stage it ends, its peaks, how far it can swing, and the source's peak that cuts it."""
    cut = (
        figure(rung.clips_from_v, "V") if rung.clips_from_v is not None else f"held by {spoken(rung.held_by)}"
    )
    meant = ", as it is meant to" if rung.is_meant else ""
    peaks = (figure(peak, "V") for peak in rung.peaks_v)
    return spoken(rung.net), rung.kind.replace("-", " "), *peaks, figure(rung.limit_v, "V"), f"{cut}{meant}"


def lines_of(text: str, spans: Iterable[Span]) -> tuple[tuple[int, str], ...]:
    """The lines of the text that spans are on, each once, in the order of the spans; without comments."""
    lines = text.removeprefix("\ufeff").split("\n")
    numbers = dict.fromkeys(span.line for span in spans if 0 < span.line <= len(lines))
    return tuple((number, _without_comment(lines[number - 1])) for number in numbers)


def _without_comment(line: str) -> str:
    """A comment begins at a # that opens a word; inside a word (A#) it belongs to the text."""
    words = line.split()
    first = next((place for place, word in enumerate(words) if word.startswith("#")), len(words))
    return " ".join(words[:first]) or " ".join(words)


def accepted_sentence(spoken: Spoken) -> str:
    """Why a finding was let pass."""
    acceptance = spoken.acceptance
    if acceptance is None:
        return ""
    return f"Accepted in line {acceptance.span.line} because {acceptance.reason}"


def idle_sentence(one: Idle) -> str:
    """An acceptance that silences nothing."""
    words = " ".join((one.acceptance.code, *one.acceptance.parts)).replace("~", "")
    return f"Line {one.acceptance.span.line}, accept {words}: {one.why}"


def unanswered_sentences(silent: Sequence[Silent]) -> tuple[str, ...]:
    """Each reason once, with the rules it kept from judging."""
    by_why: dict[str, list[str]] = {}
    for one in silent:
        by_why.setdefault(one.why, []).append(name_of(one))
    return tuple(f"{why} Not judged: {', '.join(names)}." for why, names in by_why.items())


def caution_sentence(remark: Remark) -> str:
    """A remark on the text, with its place."""
    place = f"Line {remark.span.line}: " if remark.span else ""
    return f"{place}{remark.what} {remark.why} {remark.cure}"
