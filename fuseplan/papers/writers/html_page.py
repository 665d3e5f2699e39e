"""A set of papers as one page: nothing fetched, no script, good on a phone and on paper."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from importlib.resources import files as package_files
from pathlib import Path

from fuseplan.papers.harmless import width
from fuseplan.papers.label_stock import LabelStock
from fuseplan.papers.paper import (
    Block,
    BoxCell,
    BoxGrid,
    Drawing,
    Label,
    LabelSheet,
    NewPage,
    Pairs,
    Paper,
    Table,
    TableColumn,
    TickBoxes,
    Words,
)
from fuseplan.papers.paper_set import Head, PaperSet, marks_of
from fuseplan.papers.writers.pdf_blocks import label_list, sheet_name, sheets_of
from fuseplan.papers.writers.text import grouped
from fuseplan.quantities.writing import typed

FILE = "papers.html"
STYLE = "page.css"
_POLICY = "default-src 'none'; style-src 'unsafe-inline'"
"""What a browser may do with the page: show it, fetch nothing, run nothing."""
_CAPITAL = 0.729
"""Height of a capital of DejaVu Sans, over its size."""
_SHORT = 12
"""Letters up to which a cell is not folded."""
_SHORTER_MM = 1.0
"""By how much a sheet on the page is shorter than that in the printer, so that it begins no further one."""
_WIDE, _NARROW = "mwMW@%—Ω", "iljtfrI.,:;|'!()/- "
_HEAD_MM = 5.0
"""Height that a page's head takes."""


def files(papers: PaperSet, templates: Path | None = None) -> Iterator[tuple[str, bytes]]:
    """One file."""
    yield FILE, page(papers, templates).encode("utf-8")


def page(papers: PaperSet, templates: Path | None = None) -> str:
    """The whole page. A `page.css` in the folder of templates takes the place of the one shipped."""
    head = papers.head
    own = None if templates is None else templates / STYLE
    shipped = package_files("fuseplan.papers") / "templates" / STYLE
    style = (own if own is not None and own.is_file() else shipped).read_text(encoding="utf-8").replace("</", "<\\/")
    links = "".join(f'<li><a href="#{escape(paper.name)}">{escape(paper.title)}</a></li>' for paper in papers.papers)
    stocks = [block.stock for paper in papers.papers for block in paper.blocks if isinstance(block, LabelSheet)]
    sizes = "".join(_label_page(stock, number) for number, stock in enumerate(dict.fromkeys(stocks)))
    return (
        '<!doctype html>\n<html lang="en-GB">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta name="generator" content="fuseplan">\n'
        f"<title>{escape(head.plan)}: papers</title>\n<style>\n{style}\n{_page_rules(head)}{sizes}"
        f"</style>\n</head>\n<body>\n<header class=\"on-screen\">\n<h1>{escape(head.plan)}</h1>\n"
        f'<p class="state">{escape(head.state)} · limits: {escape(head.limits)}</p>\n{_banner(head)}'
        f"<nav><ul>{links}</ul></nav>\n</header>\n<main>\n"
        + "".join(_paper(head, paper, not number, list(dict.fromkeys(stocks)))
                  for number, paper in enumerate(papers.papers))
        + "</main>\n</body>\n</html>\n")


def _page_rules(head: Head) -> str:
    """Head and foot of printed pages: plan, revision, danger, page n of m."""
    danger = f"{head.dangers} DANGER: DO NOT POWER UP" if head.dangers else ""
    return (
        "@page { size: A4; margin: 20mm 12mm 18mm 15mm; "
        f"@top-left {{ font: 7.5pt sans-serif; content: {_css_text(head.plan[:80])} }} "
        f"@top-right {{ font: 7.5pt sans-serif; content: {_css_text(head.state[:80])} }} "
        f"@top-center {{ font: bold 8pt sans-serif; content: {_css_text(danger)} }} "
        f"@bottom-left {{ font: 6.5pt sans-serif; width: 75%; content: {_css_text('Limits: ' + head.limits[:80])} }} "
        '@bottom-right { font: 7.5pt sans-serif; content: "page " counter(page) " of " counter(pages) } }\n'
        "@page wide { size: A4 landscape }\n.wide { page: wide }\n")


def _label_page(stock: LabelStock, number: int) -> str:
    """Rules for a page of labels, which is printed to its edges; what is said of it stands on the sheet itself."""
    size = f"{typed(stock.sheet_width_mm)}mm {typed(stock.sheet_height_mm)}mm"
    boxes = " ".join(f"@{place} {{ content: none }}" for place in ("top-left", "top-center", "top-right", "bottom-left",
                                                                   "bottom-right"))
    return (f"@page labels{number} {{ size: {size}; margin: 0; {boxes} }}\n"
            f".labels{number} {{ page: labels{number} }}\n")


def _css_text(text: str) -> str:
    """A text in quotes for a style sheet: everything but letters and digits as its code."""
    return '"' + "".join(each if each.isascii() and each.isalnum() else f"\\{ord(each):x} " for each in text) + '"'


def _banner(head: Head) -> str:
    if not head.banner:
        return ""
    return f'<p class="{"danger" if head.dangers else "caution"}">⚠ {escape(head.banner)}</p>\n'


def _paper(head: Head, paper: Paper, first: bool, stocks: list[object]) -> str:
    kinds = " ".join(name for name, wanted in (("first", first), ("wide", paper.landscape)) if wanted)
    marks = "".join(f"<p>{escape(mark)}</p>" for mark in marks_of(paper))
    blocks = "".join(_labels(head, block, stocks.index(block.stock)) if isinstance(block, LabelSheet) else _block(block)
                     for block in paper.blocks)
    return (f'<section id="{escape(paper.name)}" class="{kinds}">\n<h2>{escape(paper.title)}</h2>\n'
            f'<p class="state">{escape(head.plan)} · {escape(head.state)} · limits: {escape(head.limits)}</p>\n'
            f'{_banner(head)}{blocks}<div class="foot">{marks}<p>⚠ {escape(head.notice)}</p></div>\n</section>\n')


def _block(block: Block) -> str:
    match block:
        case Words(text, "heading"):
            return f"<h3>{escape(text)}</h3>\n"
        case Words(text, role):
            return f'<p class="{role}">{ {"danger": "DANGER: ", "caution": "⚠ "}.get(role, "")}{escape(text)}</p>\n'
        case Table():
            return _table(block)
        case Pairs(items):
            return "<dl>" + "".join(f"<dt>{escape(words)}</dt><dd>{escape(value)}</dd>"
                                    for words, value in items) + "</dl>\n"
        case BoxGrid():
            return _box(block)
        case Drawing():
            drawn = block.svg.replace(' xmlns="http://www.w3.org/2000/svg"', "")
            drawn = drawn[max(drawn.find("<svg"), 0):]
            return f'<figure class="drawing scroll" role="img" aria-label="{escape(block.words)}">{drawn}</figure>\n'
        case TickBoxes(items):
            return '<ul class="ticks">' + "".join(f"<li>{escape(item)}</li>" for item in items) + "</ul>\n"
        case NewPage() | LabelSheet():
            # On screen nothing turns a page; labels need the head of the set and are set by `_labels`.
            return ""


def _table(table: Table) -> str:
    shown_at = [number for number, column in enumerate(table.columns) if column.key != table.group]
    columns = [table.columns[number] for number in shown_at]
    heads = "".join(f'<th scope="col"{_kind(column.number, False)}>{escape(column.whole_heading)}</th>'
                    for column in columns)
    lines = []
    for words, rows in grouped(table):
        if words is not None:
            lines.append(f'<tr class="group"><th colspan="{len(columns)}">{escape(words)}</th></tr>\n')
        for row in rows:
            lines.append("<tr>" + "".join(_cell(column, column.written(row[at]))
                                          for at, column in zip(shown_at, columns, strict=True)) + "</tr>\n")
    caption = f"<caption>{escape(table.title)}</caption>" if table.title else ""
    note = f'<p class="note">{escape(table.note)}</p>\n' if table.note else ""
    return (f'<div class="scroll"><table>{caption}<thead><tr>{heads}</tr></thead>\n<tbody>\n{"".join(lines)}</tbody>'
            f"</table></div>\n{note}")


def _cell(column: TableColumn, text: str) -> str:
    return (f'<td{_kind(column.number, column.fill_in, len(text) <= _SHORT)} '
            f'data-label="{escape(column.whole_heading)}">{escape(text)}</td>')


def _kind(number: bool, fill_in: bool, short: bool = True) -> str:
    kinds = " ".join(name for name, wanted in (("n", number), ("fill", fill_in), ("long", not short)) if wanted)
    return f' class="{kinds}"' if kinds else ""


def _box(grid: BoxGrid) -> str:
    taken = {(row, column) for cell in grid.cells for row in range(cell.row, cell.row + cell.rows)
             for column in range(cell.column, cell.column + cell.columns)}
    empty = [BoxCell(row, column, "–", "", kind="empty") for row in range(1, grid.rows + 1)
             for column in range(1, grid.columns + 1) if (row, column) not in taken]
    cells = "".join(
        f'<div class="{"hazard" if cell.kind == "danger" else cell.kind}" style="grid-row: {cell.row} / span '
        f'{cell.rows}; grid-column: {cell.column} / span {cell.columns}"><span>{escape(cell.position)}</span>'
        f"<b>{escape(cell.main)}</b>{''.join(f'<span>{escape(line)}</span>' for line in cell.lines)}</div>"
        for cell in sorted((*grid.cells, *empty), key=lambda each: (each.row, each.column)))
    return (f'<h3>{escape(grid.title)}</h3>\n<div class="scroll"><div class="box" style="grid-template-columns: '
            f'repeat({grid.columns}, minmax(5.2em, 1fr))">{cells}</div></div>\n')


def _labels(head: Head, block: LabelSheet, number: int) -> str:
    """The list of labels, a ruler, and the sheets in millimetres."""
    stock = block.stock
    ticks = "".join(f'<path d="M{at} 0v{3 if at % 50 == 0 else 1.5}"/>' for at in range(0, 101, 5))
    ruler = ('<svg width="102mm" height="8mm" viewBox="-1 -1 102 8" stroke="#000" stroke-width="0.2" role="img" '
             f'aria-label="ruler of 100 mm"><path d="M0 0h100"/>{ticks}<text x="100" y="6" font-size="3" '
             'text-anchor="end" stroke="none">100 mm</text></svg>')
    size = f"width: {typed(stock.sheet_width_mm)}mm; height: {typed(stock.sheet_height_mm - _SHORTER_MM)}mm"
    laid = sheets_of(block)
    sheets = "".join(
        f'<div class="scroll"><div class="sheet labels{number}" style="{size}">'
        f"{_sheet_head(head, stock, at, len(laid))}"
        f'{"".join(_label(*each, block) for each in members)}</div></div>\n' for at, members in enumerate(laid, 1))
    return ("<p><b>Print at 100 %, not scaled to fit the page: the line below must measure 100 mm.</b></p>\n"
            f"{ruler}\n{_table(label_list(block))}{sheets}")


def _sheet_head(head: Head, stock: LabelStock, at: int, count: int) -> str:
    """Danger, plan, revision and number of a sheet, above its labels where there is room."""
    if stock.top_margin_mm < _HEAD_MM:
        return ""
    danger = f"<b>{head.dangers} DANGER: DO NOT POWER UP</b> · " if head.dangers else ""
    return f'<p class="head">{danger}{sheet_name(at, count)} · {escape(head.state)} · {escape(head.plan)}</p>'


def _label(label: Label, left: float, top: float, block: LabelSheet) -> str:
    stock = block.stock
    size = label.height_mm / _CAPITAL
    longest = max(map(_ems, label.lines), default=1.0) * size
    share = min(1.0, (stock.label_width_mm - 2.0) / max(longest, 0.1),
                (stock.label_height_mm - 2.0) / max(len(label.lines) * size * 1.15, 0.1))
    lines = "".join(f"<span>{escape(line)}</span>" for line in label.lines)
    wrapped = "" if label.wrap_mm is None else ' class="wrap"'
    return (f'<div{wrapped} style="left: {typed(left)}mm; top: {typed(top)}mm; width: '
            f"{typed(stock.label_width_mm)}mm; height: {typed(stock.label_height_mm)}mm; font-size: "
            f'{typed(size * share)}mm">{lines}</div>')


def _ems(text: str) -> float:
    """Width of a text in DejaVu Sans over its size, a little on the wide side."""
    return sum(1.0 if sign in _WIDE or width(sign) > 1 else 0.42 if sign in _NARROW else 0.76 if sign.isupper() else
               0.65 for sign in text)
