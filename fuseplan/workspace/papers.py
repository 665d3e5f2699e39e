"""Papers chosen, looked at as text, and written: for the screens and the command line alike."""

from __future__ import annotations

import os
from collections.abc import Generator, Sequence
from pathlib import Path

from fuseplan.checks.assessment import Assessment
from fuseplan.papers.paper import Sheet, Wishes
from fuseplan.papers.paper_set import Head, harmless, head_of, paper_set, papers_of, sheets
from fuseplan.papers.paragraphs import Paint
from fuseplan.papers.writers import FORMATS, USUAL, Format, files, is_installed
from fuseplan.papers.writers.text import paper_lines
from fuseplan.planfile.written_papers import PaperFolder, write_papers


def offered() -> list[Sheet]:
    """The papers there are, in the order of the work."""
    return list(sheets().values())


def formats_offered() -> list[Format]:
    """The formats that can be written here."""
    return [each for name, each in FORMATS.items() if is_installed(name)]


def usual_formats() -> list[str]:
    """The formats written where none is chosen: those of `USUAL` that can be written here."""
    return [name for name in USUAL if is_installed(name)]


def usual_folder(plan: str | os.PathLike[str] | None) -> Path:
    """Folder of a plan's papers, in the folder one is in: ``my-car-papers``."""
    return Path(f"{'plan' if plan is None else Path(plan).stem}-papers")


def preview(assessment: Assessment, name: str, room: int, paint: Paint) -> str:
    """One paper as text in lines of `room` columns."""
    paper = next(papers_of(assessment, [name]))
    return "\n".join(paper_lines(harmless(head_of(assessment)), paper, room, paint))


class Writing:
    """Papers on their way into a folder, one file after the other.

    Errors come from `paths` as they happen: `PaperError` for what cannot be set, `StoreError` for what cannot be
    written. What was written before stays there and is noted.
    """

    def __init__(self, assessment: Assessment, names: Sequence[str], formats: Sequence[str],
                 folder: str | os.PathLike[str], *, wishes: Wishes | None = None, templates: Path | None = None,
                 replace: bool = False) -> None:
        self._set = paper_set(assessment, names, wishes)
        self._formats, self._templates = formats, templates
        self._folder = PaperFolder(folder, replace=replace)

    @property
    def head(self) -> Head:
        """What stands on every page."""
        return self._set.head

    @property
    def about(self) -> int:
        """About how many files it will be, for a bar."""
        many = sum(1 if name in ("html", "xlsx") else len(self._set.papers) for name in self._formats)
        return max(many, 1)

    @property
    def left(self) -> list[Path]:
        """Papers of earlier runs that were not written anew; known once `paths` is through."""
        return self._folder.left

    def paths(self) -> Generator[Path]:
        """Write file by file, and give the path of each once it is there."""
        yield from write_papers(files(self._set, self._formats, self._templates), self._folder)
