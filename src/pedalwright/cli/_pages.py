"""Where the answer of a verb goes: the terminal, a page, Markdown, paper or JSON; the same for every verb."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from typing import TYPE_CHECKING, Any

import click

from pedalwright.cli._shared import write_result

if TYPE_CHECKING:
    from pedalwright.report.blocks import Document

TO_OUTPUT = "-"
STAMP = 26
"""characters of the closing line at the foot of every printed page: a dozen digits of the fingerprint"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Goals:
    """Where an answer goes; with neither a file nor JSON it goes to the terminal."""

    as_json: bool
    html: str | None
    markdown: str | None
    pdf: str | None

    @property
    def on_terminal(self) -> bool:
        """Whether the answer is to be read here."""
        return not self.as_json and (self.html, self.markdown, self.pdf) == (None, None, None)


def page_options(verb: Callable[..., int]) -> Callable[..., int]:
    """--html, --markdown and --pdf for a verb that has --json; it takes them together as `goals`."""

    @wraps(verb)
    def with_goals(
        *, as_json: bool, html: str | None, markdown: str | None, pdf: str | None, **rest: Any
    ) -> int:
        if as_json and TO_OUTPUT in (html, markdown, pdf):
            raise click.UsageError("--json has the output to itself; name a file for the other.")
        return verb(goals=Goals(as_json=as_json, html=html, markdown=markdown, pdf=pdf), **rest)

    for option in reversed(_OPTIONS):
        with_goals = option(with_goals)
    return with_goals


_OPTIONS = (
    click.option("--html", metavar="OUT", help="Write one self-contained page."),
    click.option(
        "--markdown",
        metavar="[OUT]",
        is_flag=False,
        flag_value=TO_OUTPUT,
        help="Write Markdown, to the output when no OUT is given.",
    ),
    click.option("--pdf", metavar="OUT", help="Write one document for paper."),
)


def hand_out(
    goals: Goals,
    document: "Callable[[], Document]",
    data: Callable[[], str],
    *,
    source: str,
    for_paper: "Callable[[], Document] | None" = None,
) -> None:
    """The answer to every goal, and nothing made that no goal asks for. `data` writes its JSON; `for_paper`
    makes what pages and paper get where that differs from the terminal; `source` is the circuit's file, which
    is never written over.
    """
    if (goals.html, goals.markdown, goals.pdf) != (None, None, None):
        _write_files(goals, (for_paper or document)(), source)
    if goals.as_json:
        click.echo(data(), nl=False)
    elif goals.on_terminal:
        from pedalwright.report.terminal_page import console_for, print_page

        print_page(document(), console_for())


def _write_files(goals: Goals, document: "Document", source: str) -> None:
    if goals.html is not None:
        from pedalwright.report.html_page import html_page

        contents = len(document.sections) > 1
        write_result(goals.html, html_page(document, contents=contents), source=source)
    if goals.markdown is not None:
        from pedalwright.report.markdown_page import markdown_page

        write_result(goals.markdown, markdown_page(document), source=source)
    if goals.pdf is not None:
        write_pdf(goals.pdf, document, source=source)


def write_pdf(goal: str, document: "Document", *, source: str) -> None:
    """A document on paper, its fingerprint at the foot of every page."""
    from pedalwright.report.paper.printing import pdf_document

    stamp = "".join(document.closing[:1])[:STAMP]
    write_result(goal, pdf_document(document, stamp=stamp), source=source)
