"""Every writer sets every block, lets no text act, and writes the same bytes for the same papers.

Judges: the csv module, openpyxl, html.parser, ElementTree. The PDFs have a file of their own.
"""

from __future__ import annotations

import csv
import io
import xml.etree.ElementTree as ET
from html.parser import HTMLParser

import pytest
from sample_papers import sample_set

from fuseplan.errors import PaperError
from fuseplan.papers.harmless import shown, width
from fuseplan.papers.paper import Paper, Table
from fuseplan.papers.paper_set import PaperSet, texts_of
from fuseplan.papers.writers import FORMATS, files, formats_named
from fuseplan.papers.writers.html_page import page
from fuseplan.papers.writers.text import paper_lines
from tests.lazily import Lazily

openpyxl = Lazily("openpyxl")

HOSTILE = ("=1+1", "@SUM(A1)", "<script>alert(1)</script>", "\"'><img src=x onerror=alert(1)>", "#panic(\"x\") *b* $x$",
           "\x1b[31m", "\u202eback", "a\r\nb", "&amp;{}%s\\", "</style></table>", "אבג")


def hostile(word: str) -> str:
    return HOSTILE[sum(map(ord, word)) % len(HOSTILE)] + word


def written(papers: PaperSet, name: str) -> dict[str, bytes]:
    return dict(files(papers, [name]))


@pytest.mark.parametrize("name", FORMATS)
def test_same_papers_same_bytes(name: str) -> None:
    first, second = written(sample_set(), name), written(sample_set(), name)
    assert first
    assert first == second


@pytest.mark.parametrize("name", FORMATS)
def test_a_paper_without_blocks_is_no_error(name: str) -> None:
    made = PaperSet(sample_set().head, (Paper("empty", "Empty", ()),))
    assert bool(written(made, name)) == (name in ("pdf", "html", "txt"))


def test_a_wrong_format_is_refused_with_those_there_are() -> None:
    assert formats_named(["csv", " PDF"]) == ["pdf", "csv"]
    with pytest.raises(PaperError, match="there is no format 'doc'; accepted are pdf, html"):
        formats_named(["doc"])


def test_text_holds_every_text_and_no_line_is_too_long() -> None:
    made = sample_set()
    for room in (36, 80, 120):
        for paper in made.papers:
            lines = paper_lines(made.head, paper, room)
            assert max(map(width, lines)) <= room
            assert "fuse A" not in " ".join(lines), "units are written as they are printed"
            joined = " ".join(" ".join(lines).split())
            for text in texts_of((paper.title, made.head.notice, made.head.banner)):
                assert text in joined.replace("⚠ ", "")


def test_csv_is_read_back_as_it_was_and_no_cell_runs() -> None:
    made = sample_set(hostile)
    found = written(made, "csv")
    assert set(found) == {"one.csv", "two.csv"}
    raw = found["one.csv"].decode("utf-8")
    assert raw.count("\r\n") == raw.count("\n") == 4
    rows = list(csv.reader(io.StringIO(raw, newline="")))
    assert rows[0] == ["group", "what", "length_m", "fuse_a", "reading", "marks"]
    assert [row[2] for row in rows[1:]] == ["1.24", "?", "0.3"]
    assert [row[3] for row in rows[1:]] == ["7.5", "15", "unfused"]
    assert [row[5] for row in rows[1:]][1:] == ["Fuse: proposed", rows[3][5]]
    assert not any(cell[:1] in "=+-@\t" and cell for row in rows for cell in row)


def test_a_spreadsheet_holds_numbers_as_numbers_and_formulas_as_text() -> None:
    book = openpyxl.load_workbook(io.BytesIO(written(sample_set(hostile), "xlsx")["papers.xlsx"]))
    assert book.sheetnames == ["About", "One", "Two"]
    sheet = book["One"]
    assert [cell.value for cell in sheet[1]][2:] == ["Length, m", "Fuse, A", "Reading", "Marks"]
    assert sheet["C2"].value == 1.24
    assert sheet["C2"].number_format == "0.00"
    assert sheet["D3"].value == 15
    assert sheet["D3"].number_format == '0"*"'
    assert sheet["C3"].value == "?"
    assert sheet.freeze_panes == "A2"
    assert sheet.auto_filter.ref == "A1:F4"
    cells = [cell for page_ in book for row in page_.iter_rows() for cell in row if cell.value is not None]
    assert len(cells) > 40
    assert {cell.data_type for cell in cells} == {"s", "n"}, "no formula among them"
    assert any(str(cell.value).startswith("=1+1") for cell in cells), "the hostile text is there, as text"
    assert not any(cell.hyperlink for cell in cells)
    for each in book:
        assert "DO NOT POWER UP" in each.oddHeader.left.text


def test_pages_of_a_spreadsheet_have_names_of_their_own() -> None:
    table = next(block for block in sample_set().papers[0].blocks if isinstance(block, Table))
    papers = (*(Paper(f"{'x' * 40}{number}", "t", (table,)) for number in range(12)), Paper("about", "t", (table,)))
    names = openpyxl.load_workbook(io.BytesIO(
        written(PaperSet(sample_set().head, papers), "xlsx")["papers.xlsx"])).sheetnames
    assert len(names) == len({name.casefold() for name in names}) == 14
    assert max(map(len, names)) <= 31
    assert all(names), "a page without a name cannot be opened"


class _Page(HTMLParser):
    """Tags, attributes and text of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str | None]] = []
        self.text = ""
        self.open: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += attrs
        if tag not in ("meta", "path", "line", "rect", "circle"):
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag not in ("path", "line", "rect", "circle"):
            assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.text += data


def read_page(papers: PaperSet) -> _Page:
    parsed = _Page()
    parsed.feed(page(papers))
    parsed.close()
    return parsed


def test_the_page_fetches_nothing_and_runs_nothing() -> None:
    raw, parsed = page(sample_set(hostile)), read_page(sample_set(hostile))
    assert parsed.open == [], "every tag is closed, in order"
    assert not {"script", "img", "link", "iframe", "object", "base", "form"} & set(parsed.tags)
    assert not [name for name, _ in parsed.attributes if name in ("src", "srcset", "onerror", "action")
                or name.startswith("on")]
    assert all(value is not None and value.startswith("#") for name, value in parsed.attributes if name == "href")
    assert "http://" not in raw
    assert "https://" not in raw
    assert "url(" not in raw
    assert "@import" not in raw
    assert "default-src 'none'" in raw


NOT_SHOWN = {"group head"}
"""The heading of a column of groups, which stand above their rows instead."""


def test_every_text_stands_in_the_page_as_text() -> None:
    made: dict[str, str] = {}

    def noted(word: str) -> str:
        return made.setdefault(word, hostile(word))

    parsed = read_page(sample_set(noted))
    shown_at = parsed.text + "".join(value or "" for name, value in parsed.attributes if name == "aria-label")
    assert len(made) > 25
    assert {word for word, text in made.items() if shown(text) not in shown_at} == NOT_SHOWN


def test_drawings_are_xml() -> None:
    found = written(sample_set(), "svg")
    assert set(found) == {"one.svg", "two.svg"}
    for raw in found.values():
        ET.fromstring(raw)
