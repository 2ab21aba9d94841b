"""The verb `check`: what a careful friend would say about a circuit before it is soldered."""

from collections.abc import Callable
from difflib import get_close_matches
from hashlib import sha256
from typing import TYPE_CHECKING

import click

from pedalwright.cli._pages import Goals, hand_out, page_options
from pedalwright.cli._shared import json_option, open_circuit, set_option

if TYPE_CHECKING:
    from pedalwright.analysis.memo import Analysis
    from pedalwright.report.blocks import Document
    from pedalwright.review.reviewing import Review
    from pedalwright.review.rule import Rule

CLEAR, FOUND = 0, 1
EVERY_RULE = "all"


@click.command()
@click.argument("file", metavar="FILE", required=False)
@set_option
@json_option
@click.option(
    "--only",
    "words",
    metavar="WORD",
    multiple=True,
    help="Ask only this rule (code or name) or family; as often as needed.",
)
@click.option(
    "--explain", metavar="CODE", help="Tell one rule in full, or list `all`; FILE is optional then."
)
@page_options
def command(
    file: str | None, wishes: tuple[str, ...], words: tuple[str, ...], explain: str | None, goals: Goals
) -> int:
    """Look a circuit over as a careful friend would before it is soldered: supply, polarity, resting
    voltages, levels, the echo chip, knobs, switches, values, safety, and what its text wants.

    The exit status is 1 when something will be damaged or will not work, or a want is not met.

    \b
    pedalwright check lantern.pedal
    pedalwright check lantern.pedal --set TIME=0 --html review.html
    pedalwright check lantern.pedal --only supply --only B01
    pedalwright check --explain S01
    """
    if explain is not None and explain.strip().lower() == EVERY_RULE:
        return _list_rules(goals)
    if explain is None and file is None:
        raise click.UsageError("Which circuit? Name its FILE.", click.get_current_context())
    meant = words if explain is None else (*words, explain)
    only = tuple(rule for word in meant for rule in _rules_meant(word)) if meant else None
    if file is None:
        return _explain_rules(only or (), goals)
    analysis = open_circuit(file, wishes, as_json=goals.as_json)
    told = _reviewed(analysis, only)
    if explain is None:
        _tell(analysis, told, file, goals)
    else:
        _explain_here(analysis, told, only or (), file, goals)
    return _status(told)


def _reviewed(analysis: "Analysis", only: "tuple[Rule, ...] | None") -> "Review":
    from pedalwright.review.reviewing import review

    return review(analysis, only)


def _status(told: "Review") -> int:
    return CLEAR if told.is_clear and not told.misses_a_want else FOUND


def _rules_meant(word: str) -> "tuple[Rule, ...]":
    """The rule of that code or name, or the rules of that family; raises click.UsageError for none."""
    from pedalwright.review.catalogue import FOLDERS, rule_named, rules, rules_in

    folder = word.strip().lower().replace("-", "_")
    if folder in FOLDERS:
        return rules_in(folder)
    found = rule_named(word)
    if found is not None:
        return (found,)
    families = [name.replace("_", "-") for name in FOLDERS]
    names = [*families, *(rule.name for rule in rules()), *(rule.code for rule in rules())]
    near = get_close_matches(word.strip(), names, n=1)
    hint = f"did you mean '{near[0]}'?" if near else f"families are: {', '.join(families)}."
    raise click.UsageError(f"There is no rule or family '{word[:60]}'; {hint}", click.get_current_context())


def _tell(analysis: "Analysis", told: "Review", file: str, goals: Goals) -> None:
    """The review; pages and paper are told in full."""
    from pedalwright.report.check_document import check_document
    from pedalwright.report.check_json import check_json

    circuit, mark = analysis.circuit, sha256(analysis.text.encode("utf-8")).hexdigest()
    settings = {part.ref: str(part.setting) for part in (*circuit.knobs, *circuit.switches)}

    def document(in_full: bool) -> "Document":
        return check_document(circuit.title, told, analysis.text, mark, in_full=in_full)

    hand_out(
        goals,
        lambda: document(False),
        lambda: check_json(circuit.title, told, analysis.text, mark, settings),
        source=file,
        for_paper=lambda: document(True),
    )


def _list_rules(goals: Goals) -> int:
    from pedalwright.report.check_explained import rules_document
    from pedalwright.review.catalogue import rules

    return _put_rules(rules(), rules_document, "", goals)


def _explain_rules(meant: "tuple[Rule, ...]", goals: Goals) -> int:
    """The page of each rule meant, one after the other."""
    from pedalwright.report.check_explained import rules_page

    return _put_rules(meant, lambda: rules_page(meant), "", goals)


def _explain_here(
    analysis: "Analysis", told: "Review", meant: "tuple[Rule, ...]", file: str, goals: Goals
) -> None:
    """The page of each rule meant, and what they say about this circuit."""
    from pedalwright.report.check_explained import here, rules_page

    _put_rules(
        meant, lambda: rules_page(meant, here(told, analysis.circuit.title, analysis.text)), file, goals
    )


def _put_rules(
    meant: "tuple[Rule, ...]", document: "Callable[[], Document]", source: str, goals: Goals
) -> int:
    from pedalwright.report.check_json import rules_json

    hand_out(goals, document, lambda: rules_json(meant), source=source)
    return CLEAR
