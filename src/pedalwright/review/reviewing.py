"""The review: every rule looks at the circuit; what it finds, what was accepted, what cannot be said."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from pedalwright.analysis.headroom import Rung
from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.ports import Acceptance
from pedalwright.circuit.remark import Remark
from pedalwright.circuit.span import Span
from pedalwright.review.acceptance import Idle, accepted_by, idle
from pedalwright.review.catalogue import rules
from pedalwright.review.rule import CannotSay, Finding, Gravity, Rule
from pedalwright.review.survey import Survey
from pedalwright.review.wants import WantAnswer, answered_wants

WANT_MISSED = "want-missed"
"""the rule that holds the lines of the brief against what is measured"""
DOES_NOTHING = "part-without-effect"
"""the rule that tells of loose ends and shorted parts, as two remarks on the text do"""
HINTS = frozenset({"value-out-of-role", "figure-out-of-use"})
"""rules that guess a slipped value from what is usual, without measuring what it does"""
LOOSE_END, SHORTED = "net.used-once", "part.both-ends"


@dataclass(frozen=True, slots=True, kw_only=True)
class Spoken:
    """A finding with its rule and the lines of the text it is about; `acceptance` is set when accepted."""

    rule: Rule
    finding: Finding
    spans: tuple[Span, ...]
    acceptance: Acceptance | None = None

    @property
    def gravity(self) -> Gravity:
        """The finding's own gravity, or the rule's."""
        return self.finding.gravity or self.rule.gravity


@dataclass(frozen=True, slots=True, kw_only=True)
class Silent:
    """A rule that could not judge, and why."""

    rule: Rule
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Review:
    """What the review of one circuit says: `found` worst first, then in the order of the text.

    `wants` are all lines of the brief with what was measured, met or not; empty when only rules that are not
    about the brief were asked. `ladder` is how high the sound stands at every stage, for soft and hard
    playing; empty where that is not known, or only some rules were asked.
    """

    found: tuple[Spoken, ...]
    accepted: tuple[Spoken, ...]
    idle: tuple[Idle, ...]
    unanswered: tuple[Silent, ...]
    rules_asked: int
    cautions: tuple[Remark, ...] = ()
    wants: tuple[WantAnswer, ...] = ()
    ladder: tuple[Rung, ...] = ()
    is_whole: bool = True
    """every rule was asked"""

    @property
    def is_clear(self) -> bool:
        """Nothing of the two upper gravities was found; unanswered rules do not count."""
        return not any(one.gravity.is_grave for one in self.found)

    @property
    def misses_a_want(self) -> bool:
        """A line of the brief is not met."""
        return any(one.rule.name == WANT_MISSED for one in self.found)

    def of(self, gravity: Gravity) -> tuple[Spoken, ...]:
        """What was found with that gravity."""
        return tuple(one for one in self.found if one.gravity is gravity)


def review(analysis: Analysis, only: Sequence[Rule] | None = None) -> Review:
    """Every rule's findings about a circuit, knobs as they stand (rules move them as they need).

    `only` asks these rules alone. Never raises for a circuit that was read.
    """
    survey = Survey(analysis)
    asked = rules() if only is None else tuple(only)
    spoken: list[Spoken] = []
    silent: list[Silent] = []
    for rule in asked:
        try:
            spoken += _spoken(survey, rule)
        except CannotSay as reason:
            silent.append(Silent(rule=rule, why=str(reason)))
    spoken = _without_hints(spoken)
    found = sorted((one for one in spoken if one.acceptance is None), key=_order)
    accepted = sorted((one for one in spoken if one.acceptance is not None), key=_order)
    return Review(
        found=tuple(found),
        accepted=tuple(accepted),
        idle=_idle(analysis, accepted) if only is None else (),
        unanswered=tuple(silent),
        rules_asked=len(asked),
        cautions=_not_said_yet(analysis, spoken),
        wants=answered_wants(survey) if any(rule.name == WANT_MISSED for rule in asked) else (),
        ladder=_ladder(survey) if only is None else (),
        is_whole=only is None,
    )


def _ladder(survey: Survey) -> tuple[Rung, ...]:
    try:
        return survey.headroom
    except CannotSay:
        return ()


def _without_hints(spoken: Sequence[Spoken]) -> list[Spoken]:
    """Without guesses about a part for which a measured finding names the value already."""
    cured = {change.ref for one in spoken if one.rule.name not in HINTS for change in one.finding.changes}
    return [
        one
        for one in spoken
        if one.rule.name not in HINTS or not one.finding.parts or one.finding.parts[0] not in cured
    ]


def _not_said_yet(analysis: Analysis, spoken: Sequence[Spoken]) -> tuple[Remark, ...]:
    """The remarks on the text without those of which a finding tells already."""
    told = [one for one in spoken if one.rule.name == DOES_NOTHING]
    nets = {net for one in told for net in one.finding.nets}
    spans = {span for one in told for span in one.spans}
    lines = analysis.text.removeprefix("\ufeff").split("\n")

    def is_said(remark: Remark) -> bool:
        if remark.span is None or remark.span.line > len(lines):
            return False
        word = lines[remark.span.line - 1][remark.span.column - 1 : remark.span.end_column - 1]
        return (remark.code == LOOSE_END and word in nets) or (
            remark.code == SHORTED and remark.span in spans
        )

    return tuple(remark for remark in analysis.circuit.cautions if not is_said(remark))


def _idle(analysis: Analysis, accepted: Sequence[Spoken]) -> tuple[Idle, ...]:
    used = [one.acceptance for one in accepted if one.acceptance is not None]
    return idle(analysis.circuit.accepts, used, [(one.rule, one.finding) for one in accepted])


def _spoken(survey: Survey, rule: Rule) -> Iterable[Spoken]:
    accepts = survey.circuit.accepts
    return [
        Spoken(
            rule=rule,
            finding=finding,
            spans=_spans(survey, finding),
            acceptance=accepted_by(rule, finding, accepts),
        )
        for finding in rule.look(survey)
    ]


def _spans(survey: Survey, finding: Finding) -> tuple[Span, ...]:
    """The lines of the parts to blame, in the finding's order, then its own."""
    by_ref = survey.circuit.by_ref
    owners = [by_ref[ref] if ref in by_ref else by_ref.get(ref[:-1]) for ref in finding.parts]
    return tuple(dict.fromkeys((*(part.span for part in owners if part is not None), *finding.spans)))


def _order(spoken: Spoken) -> tuple[int, int, str]:
    first = min((span.line for span in spoken.spans), default=0)
    return spoken.gravity.rank, first, spoken.rule.code
