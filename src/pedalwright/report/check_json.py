"""A review as JSON, schema ``pedalwright.check/1``; rules as JSON, schema ``pedalwright.rules/1``."""

from collections.abc import Iterable, Mapping
from typing import Any

from pedalwright.analysis.headroom import PICKUP_PEAKS_V, Rung
from pedalwright.analysis.naming_nets import spoken
from pedalwright.report.check_sentences import lines_of, summary, verdict
from pedalwright.report.plain_data import json_text, number
from pedalwright.report.walk_json import remark_data
from pedalwright.review.acceptance import Idle
from pedalwright.review.catalogue import folder_of
from pedalwright.review.reviewing import Review, Spoken
from pedalwright.review.rule import Evidence, Gravity, Rule
from pedalwright.review.wants import WantAnswer

SCHEMA = "pedalwright.check/1"
RULES_SCHEMA = "pedalwright.rules/1"


def check_json(title: str, review: Review, text: str, text_sha256: str, settings: Mapping[str, str]) -> str:
    """The JSON text of a review."""
    return json_text(
        {
            "schema": SCHEMA,
            "title": title,
            "text_sha256": text_sha256,
            "settings": dict(settings),
            "clear": review.is_clear,
            "wants_met": not review.misses_a_want,
            "verdict": verdict(review),
            "summary": summary(review),
            "rules_asked": review.rules_asked,
            "counts": {gravity.name.lower(): len(review.of(gravity)) for gravity in Gravity},
            "ladder": [_rung(one) for one in review.ladder],
            "wants": [_want(one) for one in review.wants],
            "findings": [_finding(one, text) for one in review.found],
            "accepted": [_accepted(one, text) for one in review.accepted],
            "idle": [_idle(one) for one in review.idle],
            "not_judged": [
                {"code": one.rule.code, "name": one.rule.name, "why": one.why} for one in review.unanswered
            ],
            "cautions": [remark_data(remark) for remark in review.cautions],
        }
    )


def rules_json(rules: Iterable[Rule]) -> str:
    """The JSON text of some rules."""
    return json_text({"schema": RULES_SCHEMA, "rules": [_rule(rule) for rule in rules]})


def _finding(spoken: Spoken, text: str) -> dict[str, Any]:
    finding = spoken.finding
    quoted = dict(lines_of(text, spoken.spans))
    return {
        "code": spoken.rule.code,
        "name": spoken.rule.name,
        "title": spoken.rule.title,
        "gravity": spoken.gravity.name.lower(),
        "what": finding.what,
        "parts": list(finding.parts),
        "nets": list(finding.nets),
        "lines": [
            {
                "line": span.line,
                "column": span.column,
                "end_column": span.end_column,
                "text": quoted.get(span.line, ""),
            }
            for span in spoken.spans
        ],
        "evidence": [_evidence(one) for one in finding.evidence],
        "cure": finding.cure,
        "changes": [{"ref": change.ref, "value": number(change.value)} for change in finding.changes],
    }


def _evidence(one: Evidence) -> dict[str, Any]:
    return {
        "name": one.name,
        "value": number(one.value),
        "unit": one.unit,
        "low": number(one.low),
        "high": number(one.high),
        "basis": one.basis,
    }


def _rung(one: Rung) -> dict[str, Any]:
    return {
        "net": spoken(one.net),
        "stage": one.kind,
        "frequency_hz": number(one.frequency_hz),
        "source_peaks_v": list(PICKUP_PEAKS_V),
        "peaks_v": [number(peak) for peak in one.peaks_v],
        "limit_v": number(one.limit_v),
        "limited_by": one.limited_by,
        "clips_from_v": number(one.clips_from_v),
        "held_by": spoken(one.held_by),
        "is_meant": one.is_meant,
    }


def _want(answer: WantAnswer) -> dict[str, Any]:
    return {
        "want": answer.want.text,
        "quantity": answer.want.quantity,
        "line": answer.want.span.line,
        "met": answer.met,
        "value": number(answer.value),
        "unit": answer.unit,
        "low": number(answer.low),
        "high": number(answer.high),
        "margin": number(answer.margin),
        "basis": answer.basis,
        "why_not": answer.why_not,
    }


def _accepted(spoken: Spoken, text: str) -> dict[str, Any]:
    acceptance = spoken.acceptance
    return {
        "reason": acceptance.reason if acceptance else "",
        "accepted_in_line": acceptance.span.line if acceptance else None,
        "finding": _finding(spoken, text),
    }


def _idle(one: Idle) -> dict[str, Any]:
    return {
        "code": one.acceptance.code,
        "parts": list(one.acceptance.parts),
        "reason": one.acceptance.reason,
        "line": one.acceptance.span.line,
        "why": one.why,
    }


def _rule(rule: Rule) -> dict[str, Any]:
    return {
        "code": rule.code,
        "name": rule.name,
        "title": rule.title,
        "family": folder_of(rule).replace("_", "-"),
        "gravity": rule.gravity.name.lower(),
        "why": rule.why,
        "source": rule.source,
        "can_be_accepted": not rule.stands,
    }
