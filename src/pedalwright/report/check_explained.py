"""A rule explained: what it looks at, why, where its limit comes from, and the trials that are its test."""

from pedalwright.analysis.memo import Analysis
from pedalwright.notation.reading import read_text
from pedalwright.report.blocks import Block, Document, Facts, Paragraph, Section, Table, Tone
from pedalwright.report.check_document import finding_blocks
from pedalwright.report.check_sentences import accepted_sentence, heading_of, unanswered_sentences
from pedalwright.report.identity import title_of
from pedalwright.review.catalogue import FOLDERS, TITLES, folder_of, rules_in
from pedalwright.review.reviewing import Review, review
from pedalwright.review.rule import Rule, Trial

NO_TITLE = "pedal Trial"
ACCEPTED = "A text lets its findings pass with: accept {code} because ... (and the reason)."
STANDS = "This rule cannot be accepted away."


def rules_page(rules: tuple[Rule, ...], further: tuple[Section, ...] = ()) -> Document:
    """The page of one rule, or of several one after the other; `further` sections follow their trials."""
    if len(rules) == 1:
        (rule,) = rules
        sections = _rule_sections(rule)
        return Document(
            title=f"{rule.code} {rule.name}", lead=(f"{rule.title}.",), sections=(*sections, *further)
        )
    chapters = tuple(
        Section(
            anchor=rule.code,
            heading=f"{rule.code} {rule.name}",
            blocks=(Paragraph(f"{rule.title}."),),
            sections=_rule_sections(rule),
        )
        for rule in rules
    )
    return Document(title="Rules of the review", sections=(*chapters, *further))


def here(told: Review, title: str, text: str) -> tuple[Section, ...]:
    """What the rules say about a circuit of the reader's."""
    heading = f"In {title_of(title)}"
    blocks = tuple(block for one in told.found for block in finding_blocks(one, text))
    accepted = tuple(
        Paragraph(f"{one.finding.what} {accepted_sentence(one)}", Tone.QUIET) for one in told.accepted
    )
    doubts = tuple(Paragraph(said, Tone.DOUBT) for said in unanswered_sentences(told.unanswered))
    found = (*blocks, *accepted, *doubts) or (Paragraph("Nothing was found.", Tone.GOOD),)
    return (Section(anchor="here", heading=heading, blocks=found),)


def _rule_sections(rule: Rule) -> tuple[Section, ...]:
    return (
        Section(anchor=f"{rule.code}-why", heading="What it looks at, and why", blocks=_about(rule)),
        _speaking(rule, rule.speaks[0]),
        _quiet(rule, rule.quiet[0]),
    )


def _about(rule: Rule) -> tuple[Block, ...]:
    facts = (
        ("gravity", heading_of(rule.gravity).lower()),
        ("family", TITLES[folder_of(rule)]),
        ("source", rule.source),
        ("accepting", STANDS if rule.stands else ACCEPTED.format(code=rule.code)),
    )
    return Paragraph(rule.why, Tone.LEAD), Facts(facts)


def _speaking(rule: Rule, trial: Trial) -> Section:
    text = trial_text(trial)
    told = trial_review(rule, trial)
    findings = tuple(
        Section(
            anchor=f"{rule.code}-says-{place}",
            heading="What it says there",
            blocks=finding_blocks(one, text),
        )
        for place, one in enumerate(told.found, start=1)
    )
    return Section(
        anchor=f"{rule.code}-speaks",
        heading="A circuit it speaks about",
        blocks=(_written(text),),
        sections=findings,
    )


def _quiet(rule: Rule, trial: Trial) -> Section:
    return Section(
        anchor=f"{rule.code}-quiet",
        heading="The same put right: it says nothing",
        blocks=(_written(trial_text(trial)),),
    )


def trial_text(trial: Trial) -> str:
    """The text of a trial as a whole circuit text."""
    written = trial.text.strip("\n")
    return written if "pedal " in written else f"{NO_TITLE}\n{written}"


def trial_review(rule: Rule, trial: Trial) -> Review:
    """What the rule alone says about a trial."""
    text = trial_text(trial)
    return review(Analysis(read_text(text), text), only=(rule,))


def _written(text: str) -> Facts:
    """A circuit text with the numbers of its lines."""
    return Facts(tuple((f"{number}", line) for number, line in enumerate(text.split("\n"), start=1) if line))


def rules_document() -> Document:
    """Every rule on one page, family by family."""
    sections = tuple(
        Section(anchor=f"family-{letter}", heading=TITLES[folder], blocks=(_rules_table(folder),))
        for folder, letter in FOLDERS.items()
        if rules_in(folder)
    )
    count = sum(len(rules_in(folder)) for folder in FOLDERS)
    lead = f"The review asks {count} rules. pedalwright check --explain CODE tells one in full."
    return Document(title="Rules of the review", lead=(lead,), sections=sections)


def _rules_table(folder: str) -> Table:
    return Table(
        caption=f"--only {folder.replace('_', '-')}",
        columns=("code", "name", "finds", "gravity"),
        rows=tuple((rule.code, rule.name, rule.title, rule.gravity.value) for rule in rules_in(folder)),
    )
