"""Every rule of the review, a page for each family: why, the limit's source, a circuit it speaks about."""

from collections.abc import Callable, Iterator
from functools import partial

from pedalwright.report.check_explained import trial_review, trial_text
from pedalwright.report.check_sentences import measured
from pedalwright.report.markdown_page import escaped
from pedalwright.review.catalogue import FOLDERS, TITLES, rules_in
from pedalwright.review.reviewing import Spoken
from pedalwright.review.rule import Rule
from reference_pages._markdown import code, page, table


def pages() -> Iterator[tuple[str, Callable[[], str]]]:
    """A page for each family that has rules."""
    for folder in FOLDERS:
        if rules_in(folder):
            yield f"rules-{folder.replace('_', '-')}.md", partial(write, folder)


def write(folder: str) -> str:
    """The page of one family."""
    rules = rules_in(folder)
    intro = (
        f"What `check` looks at in this family ({len(rules)} rules; `--only {folder.replace('_', '-')}` asks "
        "these alone). Under each rule stands a circuit that it speaks about, what it says there, and the "
        "smallest change that makes it right. The rules are tested with these circuits."
    )
    overview = table(
        ("code", "name", "finds", "gravity"),
        [(rule.code, rule.name, rule.title, rule.gravity.value) for rule in rules],
    )
    blocks = (block for rule in rules for block in _rule(rule))
    return page(f"Rules: {TITLES[folder].lower()}", intro, overview, *blocks)


def _rule(rule: Rule) -> list[str]:
    speaking, quiet = rule.speaks[0], rule.quiet[0]
    stands = ["No `accept` silences it."] if rule.stands else []
    return [
        f"## {rule.code} {rule.name}",
        f"{escaped(rule.title)}: {rule.gravity.value}. {escaped(rule.why)}",
        f"Limit: {escaped(rule.source)}.",
        *stands,
        "Speaks about:",
        code(trial_text(speaking)),
        *(_said(one) for one in trial_review(rule, speaking).found[:1]),
        "Says nothing about:",
        code(trial_text(quiet)),
    ]


def _said(spoken: Spoken) -> str:
    """What it says, as a quotation."""
    finding = spoken.finding
    figures = [f"*{escaped(measured(one))}*" for one in finding.evidence[:3]]
    return "\n>\n".join(f"> {one}" for one in (escaped(finding.what), *figures, escaped(finding.cure)))
