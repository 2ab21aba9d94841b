"""Reading HTML pages back, to hold them to the rules of HTML 5 and of accessible pages."""

import re
from dataclasses import dataclass, field
from html.parser import HTMLParser
from itertools import pairwise

VOID = {"meta", "br", "hr", "img", "link", "input", "path"}


@dataclass
class Element:
    """One element: its tag, its attributes, its text with that of the elements inside."""

    tag: str
    attributes: dict[str, str]
    text: str = ""


@dataclass
class Page(HTMLParser):
    """A page read back; `faults` says where it breaks the rules of nesting."""

    elements: list[Element] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)
    open: list[Element] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__init__()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        element = Element(tag, {name: value or "" for name, value in attrs})
        self.elements.append(element)
        if tag not in VOID:
            self.open.append(element)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append(Element(tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open[-1].tag != tag:
            self.faults.append(f"</{tag}> at {self.getpos()}")
        else:
            self.open.pop()

    def handle_data(self, data: str) -> None:
        for element in self.open:
            element.text += data

    def all(self, *tags: str) -> list[Element]:
        """The elements with one of these tags, in order."""
        return [element for element in self.elements if element.tag in tags]


def read_page(text: str) -> Page:
    """The page of an HTML text."""
    page = Page()
    page.feed(text)
    page.close()
    page.faults += [f"<{element.tag}> left open" for element in page.open]
    return page


def assert_sound(text: str) -> Page:
    """Nesting, headings, ids, links, language, and that nothing is fetched from anywhere."""
    page = read_page(text)
    assert text.startswith("<!DOCTYPE html>")
    assert page.faults == []
    assert page.all("html")[0].attributes["lang"] == "en"
    assert page.all("title")[0].text.strip()
    levels = [int(element.tag[1]) for element in page.all("h1", "h2", "h3", "h4")]
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))
    ids = [element.attributes["id"] for element in page.elements if "id" in element.attributes]
    assert len(ids) == len(set(ids))
    assert all(re.fullmatch(r"[A-Za-z][\w-]*", name) for name in ids)
    for link in page.all("a"):
        target = link.attributes["href"]
        assert not target.startswith("#") or target[1:] in ids, target
    assert page.all("script", "link", "img", "iframe", "object", "embed", "form") == []
    fetching = {"src", "srcset", "action", "poster", "background", "data", "xlink:href", "style"}
    for element in page.elements:
        inside = {"src"} if element.attributes.get("src", "").startswith("data:audio/") else set()
        assert not (fetching - inside) & set(element.attributes)
        assert not any(name.startswith("on") for name in element.attributes)
    assert (
        re.search(r"url\((?!#)|@import|https?://|//\w+\.\w", "".join(e.text for e in page.all("style")))
        is None
    )
    return page
