"""The ration as a page: one file, no script, nothing fetched, tables that can be read aloud."""

from __future__ import annotations

from html.parser import HTMLParser

import pytest

from dietcheck.reporting import ration_html
from tests.hostile.test_output import NASTY
from tests.reporting.rations import TWO_DAYS, carrots, hostile

VOID = {"meta", "br", "img", "link", "input"}
MARKUP = {
    "breaks out": "</td></table><script>alert(1)</script><img src=x onerror=alert(1)>",
    "attribute": '" onmouseover="alert(1)',
    "template": "{{ 7 * 7 }}{% raw %}",
    "entity": "&lt;b&gt;",
    "style": "</style><style>*{display:none}",
}


class Page(HTMLParser):
    """The tags, attributes and words of a page; fails on tags that are not closed in order."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str | None]] = []
        self.words = ""
        self.tables: list[list[list[str]]] = []
        self._open: list[str] = []
        self.feed(text)
        self.close()
        assert not self._open

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a tag."""
        self.tags.append(tag)
        self.attributes += attrs
        if tag not in VOID:
            self._open.append(tag)
        if tag == "table":
            self.tables.append([])
        elif tag == "tr":
            self.tables[-1].append([])
        elif tag in ("td", "th"):
            self.tables[-1][-1].append("")

    def handle_endtag(self, tag: str) -> None:
        """A tag closes the one that was opened last."""
        assert self._open.pop() == tag

    def handle_data(self, data: str) -> None:
        """Note words, and the cell that they are in."""
        if "style" in self._open:
            return
        self.words += data
        if self._open and self._open[-1] in ("td", "th"):
            self.tables[-1][-1][-1] += data


def harmless(page: Page) -> None:
    """No script, no handler, no address, and one page's worth of structure."""
    assert not {"script", "iframe", "img", "link", "form", "object", "embed", "a"} & set(page.tags)
    names = {name for name, _ in page.attributes}
    assert not any(name.startswith("on") or name in ("href", "src", "style") for name in names)
    assert [page.tags.count(tag) for tag in ("html", "head", "body", "style", "h1", "main")] == [
        1
    ] * 6


def test_figures_in_tables_with_heads() -> None:
    page = Page(ration_html.render(carrots(**TWO_DAYS)))
    harmless(page)
    assert ["calcium", "mg", "5300", "10900 to 12100 mg/kg", ""] not in page.tables[0]
    (sugars,) = (row for row in page.tables[0] if row[0] == "food as fed")
    assert sugars[1:3] == ["g", "1400"]
    for table in page.tables:
        assert len({len(row) for row in table}) == 1
    assert page.tags.count("caption") == len(page.tables)
    scopes = [value for name, value in page.attributes if name == "scope"]
    assert len(scopes) == page.tags.count("th")


def test_what_could_not_be_read_is_said_on_top() -> None:
    page = Page(ration_html.render(hostile("x")))
    assert page.words.index("Not everything could be read") < page.words.index("Weak inputs")


@pytest.mark.parametrize("text", (NASTY | MARKUP).values(), ids=NASTY | MARKUP)
def test_hostile_names(text: str) -> None:
    plain = Page(ration_html.render(hostile("x")))
    page = Page(ration_html.render(hostile(text)))
    harmless(page)
    assert page.tags == plain.tags
    assert all(c.isprintable() or c == "\n" for c in page.words)


def test_a_name_is_shown_as_it_is_written() -> None:
    assert MARKUP["template"] in Page(ration_html.render(hostile(MARKUP["template"]))).words
    assert MARKUP["entity"] in Page(ration_html.render(hostile(MARKUP["entity"]))).words
