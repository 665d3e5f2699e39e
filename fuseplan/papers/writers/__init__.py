"""Writers of papers, one a format: from a set of papers to named files. Each is imported when it is used."""

from __future__ import annotations

import importlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from types import MappingProxyType

from fuseplan.errors import PaperError
from fuseplan.papers.harmless import shown
from fuseplan.papers.paper_set import PaperSet
from fuseplan.records import dataclass


@dataclass(frozen=True)
class Format:
    """One format that papers are written in.

    Its module under `writers/` has ``files(papers, templates)``, which yields file name and bytes one by one, the same
    bytes for the same papers. It yields nothing where the papers hold nothing for it: no table, no drawing.
    """

    name: str
    words: str
    module: str


FORMATS: Mapping[str, Format] = MappingProxyType({each.name: each for each in (
    Format("pdf", "one PDF a paper, for the printer", "pdf"),
    Format("html", "one page with all papers, for a phone or a printer", "html_page"),
    Format("xlsx", "one spreadsheet, a page a table", "xlsx"),
    Format("csv", "one CSV file a table", "csv_tables"),
    Format("svg", "one SVG file a drawing", "svg_drawings"),
    Format("txt", "one text file a paper", "text"),
)})

TEMPLATES = ("paper.typ", "blocks.typ", "page.css", "labels.toml")
"""Files of the folder of templates: for PDF, PDF, HTML, and the sheet of labels. Each that a user's folder lacks is the
one that comes with fuseplan."""
USUAL = ("pdf", "html", "xlsx")
"""Formats that are written where none is named."""


def formats_named(words: Iterable[str]) -> list[str]:
    """Names of formats, each once, in the order of `FORMATS`.

    Raises:
        PaperError: A name is not one of them.
    """
    wanted = {word.strip().lower() for word in words}
    for word in sorted(wanted):
        if word not in FORMATS:
            raise PaperError(f"there is no format '{shown(word)}'; accepted are {', '.join(FORMATS)}")
    return [name for name in FORMATS if name in wanted]


def files(papers: PaperSet, formats: Sequence[str], templates: Path | None = None) -> Iterator[tuple[str, bytes]]:
    """File name and bytes of a set of papers in some formats, one file after the other.

    Raises:
        PaperError: What writes a format is not installed, or a template does not work.
    """
    for name in formats:
        module = importlib.import_module(f"{__name__}.{FORMATS[name].module}")
        yield from module.files(papers, templates)


def is_installed(name: str) -> bool:
    """Whether a format can be written here; only PDF needs more than fuseplan itself."""
    import importlib.util

    return name != "pdf" or importlib.util.find_spec("typst") is not None
