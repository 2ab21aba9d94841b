"""What the text says it knows about and accepts: ``accept CODE because ...``."""

from collections.abc import Sequence
from dataclasses import dataclass

from pedalwright.circuit.ports import Acceptance
from pedalwright.review.catalogue import rule_named
from pedalwright.review.rule import Finding, Rule


@dataclass(frozen=True, slots=True, kw_only=True)
class Idle:
    """An acceptance that silences nothing, and why."""

    acceptance: Acceptance
    why: str


def accepted_by(rule: Rule, finding: Finding, accepts: Sequence[Acceptance]) -> Acceptance | None:
    """The acceptance that covers a finding; None when there is none, or the rule stands whatever is said."""
    if rule.stands:
        return None
    return next((one for one in accepts if _means(one, rule) and _covers(one, finding)), None)


def idle(
    accepts: Sequence[Acceptance], used: Sequence[Acceptance], accepted: Sequence[tuple[Rule, Finding]]
) -> tuple[Idle, ...]:
    """The acceptances that covered nothing, each with the reason; the `used` ones cover `accepted`."""
    return tuple(Idle(acceptance=one, why=_why(one, accepted)) for one in accepts if one not in used)


def _means(acceptance: Acceptance, rule: Rule) -> bool:
    return acceptance.code.lower() in (rule.code.lower(), rule.name)


def _covers(acceptance: Acceptance, finding: Finding) -> bool:
    """Without parts it covers every finding of its rule; a package covers its sections."""
    if not acceptance.parts:
        return True
    packages = {ref[:-1] for ref in finding.parts if ref[-1:].islower()}
    return bool(set(acceptance.parts) & {*finding.parts, *finding.nets, *packages})


def _why(acceptance: Acceptance, accepted: Sequence[tuple[Rule, Finding]]) -> str:
    rule = rule_named(acceptance.code)
    if rule is None:
        return "There is no such rule."
    if rule.stands:
        return "This rule cannot be accepted away."
    if any(other is rule and _covers(acceptance, finding) for other, finding in accepted):
        return "An earlier line accepts what the rule finds here."
    return "The rule finds nothing to accept here."
