"""``pedal``, ``about``, ``section`` and ``point``: words for the documents."""

from pedalwright.circuit.ports import Section
from pedalwright.circuit.span import Span
from pedalwright.notation.arguments import node
from pedalwright.notation.draft import Draft, DraftPoint
from pedalwright.notation.words import FORMS, with_article
from pedalwright.notation.written import Heading, Point, Word, WrittenLine


def take_heading(draft: Draft, line: WrittenLine, heading: Heading) -> None:
    """Keep the text of a heading; the pedal has one name."""
    if heading.text is None:
        if heading.keyword.text != "about":
            _incomplete(draft, line, heading.keyword, heading.keyword, "text")
        return
    span = line.span(heading.keyword, heading.text)
    match heading.keyword.text:
        case "about":
            draft.about.append(heading.text.text)
        case "section":
            draft.sections.append(Section(title=heading.text.text, span=span))
        case _ if draft.title is not None:
            draft.notebook.mistake(
                "pedal.twice",
                span,
                "The pedal has a name already.",
                "One text describes one pedal.",
                "Delete one of the two lines, or make this one: about " + heading.text.text,
            )
        case _:
            draft.title = heading.text.text


def take_point(draft: Draft, line: WrittenLine, point: Point) -> None:
    """Keep a test point; without a text it is named after its net."""
    if point.net is None:
        _incomplete(draft, line, point.keyword, point.keyword, "net")
        return
    text = point.text.text if point.text else point.net.text
    draft.points.append(
        DraftPoint(
            node=node(line, point.net), text=text, span=line.span(point.keyword, point.text or point.net)
        )
    )


def _incomplete(draft: Draft, line: WrittenLine, keyword: Word, last: Word, missing: str) -> None:
    draft.notebook.mistake(
        "statement.incomplete",
        Span(line.number, last.end, last.end + 1),
        f"The {missing} is missing.",
        f"{with_article(keyword.text).capitalize()} line without it says nothing.",
        f"Write it as, for instance: {FORMS[keyword.text]}",
    )
