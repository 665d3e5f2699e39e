"""The drawings of papers as SVG files."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from fuseplan.papers.paper import Drawing
from fuseplan.papers.paper_set import PaperSet, all_of


def files(papers: PaperSet, templates: Path | None = None) -> Iterator[tuple[str, bytes]]:
    """One file a drawing."""
    for paper, drawing in all_of(papers.papers, Drawing):
        alone = sum(isinstance(block, Drawing) for block in paper.blocks) == 1
        yield f"{paper.name if alone else f'{paper.name}.{drawing.name}'}.svg", drawing.svg.encode("utf-8")
