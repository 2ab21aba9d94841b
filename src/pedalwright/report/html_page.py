"""A document as one HTML file that needs nothing else: style and plots are inside, nothing is fetched."""

from collections.abc import Iterable
from html import escape
from itertools import count
from urllib.parse import quote

from pedalwright.report.blocks import (
    Block,
    Box,
    Clip,
    Clips,
    Document,
    Entries,
    Entry,
    Facts,
    Field,
    Fields,
    Formula,
    Links,
    Paragraph,
    Picture,
    Pictures,
    Plot,
    Plots,
    Points,
    Section,
    Steps,
    Table,
    Tone,
)
from pedalwright.report.page_style import STYLE
from pedalwright.report.plain_text import plain
from pedalwright.report.plot_svg import legend, plot_svg
from pedalwright.report.sound_clip import clip_element
from pedalwright.report.sound_field import field_svg


def html_page(document: Document, *, contents: bool = True) -> str:
    """The document as the text of an HTML file."""
    writer = _Writer()
    body = "".join(writer.section(section, 2) for section in document.sections)
    # The style is written between its tags as it stands; it holds no text of the circuit.
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f"<title>{text(document.title)}</title>\n"
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta name="color-scheme" content="light dark">\n'
        f"<style>{STYLE}</style>\n</head>\n<body>\n"
        f"<header>\n<h1><bdi>{text(document.title)}</bdi></h1>\n{_lead(document)}</header>\n"
        f"{_contents(document) if contents else ''}<main>\n{body}</main>\n"
        f"<footer>\n{_closing(document)}\n</footer>\n</body>\n</html>\n"
    )


def text(said: str) -> str:
    """A text as HTML shows it: markup escaped, what cannot be seen replaced."""
    return escape(plain(said))


def _lead(document: Document) -> str:
    return "".join(f"<p><bdi>{text(line)}</bdi></p>\n" for line in document.lead)


def _closing(document: Document) -> str:
    return "".join(f"<p>{text(line)}</p>" for line in document.closing)


def _contents(document: Document) -> str:
    items = "".join(_contents_item(section) for section in document.sections)
    return f'<nav aria-labelledby="contents">\n<h2 id="contents">Contents</h2>\n<ol>\n{items}</ol>\n</nav>\n'


def _contents_item(section: Section) -> str:
    inner = "".join(f"<li>{_link(one)}</li>" for one in section.sections)
    style = ' class="long"' if len(section.sections) > 8 else ""
    return f"<li{style}>{_link(section)}{f'<ol>{inner}</ol>' if inner else ''}</li>\n"


def _link(section: Section) -> str:
    return f'<a href="#{text(section.anchor)}">{text(section.heading)}</a>'


class _Writer:
    """Writes blocks; counts the plots, whose ids must differ."""

    def __init__(self) -> None:
        self._plots = count(1)

    def section(self, section: Section, level: int) -> str:
        """A section with its heading at a level, and those inside it."""
        tag = "section" if level == 2 else "article"
        aside = f' <span class="aside">{text(section.aside)}</span>' if section.aside else ""
        return (
            f'<{tag} id="{text(section.anchor)}">\n<h{level}>{text(section.heading)}{aside}</h{level}>\n'
            f"{''.join(map(self.block, section.blocks))}"
            f"{''.join(self.section(inner, level + 1) for inner in section.sections)}</{tag}>\n"
        )

    def block(self, block: Block) -> str:
        """One block."""
        match block:
            case Plots(items):
                return f'<div class="plots">\n{"".join(map(self.plot, items))}</div>\n'
            case Fields(items):
                return "".join(map(self.field, items))
            case Pictures(items):
                return "".join(map(_picture, items))
            case Clips(items):
                return "".join(map(self.clip, items))
            case Table():
                return _table(block)
            case Facts() | Entries() | Box() | Links():
                return _listing(block)
            case _:
                return _prose(block)

    def plot(self, plot: Plot) -> str:
        """One plot with its caption and, when there are several lines, which is which."""
        drawn = plot_svg(plot, f"plot{next(self._plots)}")
        if not drawn:
            return ""
        told = legend(plot)
        caption = f"{plot.title} ({told})" if told else plot.title
        style = ' class="wide"' if plot.wide else ""
        return f"<figure{style}>{drawn}<figcaption>{text(caption)}</figcaption></figure>\n"

    def field(self, field: Field) -> str:
        """One field with its caption."""
        drawn = field_svg(field, f"field{next(self._plots)}")
        caption = f"<figcaption>{text(field.title)}</figcaption>"
        return f'<figure class="wide">{drawn}{caption}</figure>\n' if drawn else ""

    def clip(self, clip: Clip) -> str:
        """One sound with its caption, silent until it is asked to play."""
        return clip_element(clip, f"sound{next(self._plots)}")


def _prose(block: Paragraph | Points | Steps | Formula) -> str:
    match block:
        case Paragraph(said, tone):
            style = "" if tone is Tone.PLAIN else f' class="{tone.value}"'
            return f"<p{style}>{text(said)}</p>\n"
        case Points(items):
            return f"<ul>{_items(items)}</ul>\n" if items else ""
        case Steps(items):
            return f"<ol>{_items(items)}</ol>\n" if items else ""
        case Formula(said, source):
            return f'<p class="formula"><code>{text(said)}</code><span>{text(source)}</span></p>\n'


def _items(items: Iterable[str]) -> str:
    return "".join(f"<li>{text(item)}</li>" for item in items)


def _picture(picture: Picture) -> str:
    """A drawing as it is; its writer has escaped every text in it."""
    caption = f"<figcaption>{text(picture.caption)}</figcaption>" if picture.caption else ""
    return (
        f'<figure class="wide"><div class="scroll" role="img" aria-label="{text(picture.described)}">'
        f"{picture.svg}</div>{caption}</figure>\n"
    )


def _listing(block: Facts | Entries | Box | Links) -> str:
    match block:
        case Facts(rows):
            return _facts(rows)
        case Entries(items):
            return f'<dl class="parts">\n{"".join(map(_entry, items))}</dl>\n'
        case Box(items):
            lines = "".join(f"<p><b>{text(name)}.</b> {text(said)}</p>" for name, said in items)
            return f'<div class="box" role="note">{lines}</div>\n'
        case Links(items):
            told = "".join(
                f'<dt><a href="{text(quote(to))}">{text(name)}</a></dt><dd>{text(said)}</dd>\n'
                for to, name, said in items
            )
            return f'<dl class="parts">\n{told}</dl>\n'


def _facts(rows: Iterable[tuple[str, str]]) -> str:
    lines = "".join(
        f'<tr><th scope="row">{text(name)}</th><td>{text(said)}</td></tr>\n' for name, said in rows
    )
    return f'<table class="facts"><tbody>\n{lines}</tbody></table>\n' if lines else ""


def _table(table: Table) -> str:
    heads = "".join(
        f'<th scope="col"{_number(table, place)}>{text(name)}</th>'
        for place, name in enumerate(table.columns)
    )
    lines = "".join(_row(table, place, row) for place, row in enumerate(table.rows))
    return (
        f'<div class="scroll"><table><caption>{text(table.caption)}</caption>\n'
        f"<thead><tr>{heads}</tr></thead>\n"
        f"<tbody>\n{lines}</tbody></table></div>\n"
    )


def _row(table: Table, place: int, row: tuple[str, ...]) -> str:
    cells = [text(cell) for cell in row]
    if table.targets and table.targets[place]:
        cells[-1] = f'<a href="#{text(table.targets[place])}">{cells[-1]}</a>'
    first, *others = cells
    rest = "".join(f"<td{_number(table, at)}>{cell}</td>" for at, cell in enumerate(others, start=1))
    return f'<tr><th scope="row">{first}</th>{rest}</tr>\n'


def _number(table: Table, place: int) -> str:
    return ' class="n"' if place in table.figures else ""


def _entry(entry: Entry) -> str:
    texts = "".join(f"<dd>{text(said)}</dd>" for said in entry.texts)
    return f"<dt><b>{text(entry.name)}</b> {text(entry.label)} <span>{text(entry.role)}</span></dt>{texts}\n"
