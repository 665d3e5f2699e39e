"""Papers chosen, looked at as text, and written: for the screens and the command line alike."""

from __future__ import annotations

import os
from collections.abc import Generator, Sequence
from pathlib import Path

from fuseplan.checks.assessment import Assessment
from fuseplan.errors import PaperError
from fuseplan.papers.label_stock import FILE as LABELS
from fuseplan.papers.label_stock import LabelStock, stock_of, usual_stock
from fuseplan.papers.paper import Sheet, Wishes
from fuseplan.papers.paper_set import Head, harmless, head_of, paper_set, papers_of, sheets
from fuseplan.papers.paragraphs import Paint
from fuseplan.papers.writers import FORMATS, TEMPLATES, USUAL, Format, files, is_installed
from fuseplan.papers.writers.text import paper_lines
from fuseplan.planfile.files import clean_path, read_text
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


def user_templates() -> Path:
    """Folder of the user's own templates; need not exist."""
    from platformdirs import user_config_path

    return user_config_path("fuseplan") / "templates"


def templates_folder(named: str | os.PathLike[str] | None = None) -> Path | None:
    """The folder of templates that was named, else the user's own where there is one; None for those shipped.

    Raises:
        PaperError: A folder was named that holds no template.
    """
    folder = user_templates() if named is None else Path(named)
    if any((folder / name).is_file() for name in TEMPLATES):
        return folder
    if named is None:
        return None
    raise PaperError(f"{clean_path(folder)}: holds no template; accepted is a folder with any of "
                     f"{', '.join(TEMPLATES)}, made by fuseplan papers --copy-templates FOLDER")


def label_stock(folder: Path | None) -> LabelStock:
    """The sheet of labels that a folder of templates describes, else the usual one.

    Raises:
        PaperError: The description is not complete, or cannot be.
        StoreError: It cannot be read.
    """
    file = None if folder is None else folder / LABELS
    if file is None or not file.is_file():
        return usual_stock()
    return stock_of(read_text(file).text, clean_path(file))


def preview(assessment: Assessment, name: str, room: int, paint: Paint) -> str:
    """One paper as text in lines of `room` columns."""
    paper = next(papers_of(assessment, [name], Wishes(stock=label_stock(templates_folder()))))
    return "\n".join(paper_lines(harmless(head_of(assessment)), paper, room, paint))


class Writing:
    """Papers on their way into a folder, one file after the other.

    Errors come at once or from `paths` as they happen: `PaperError` for what cannot be set, `StoreError` for what
    cannot be read or written. What was written before stays there and is noted.
    """

    def __init__(self, assessment: Assessment, names: Sequence[str], formats: Sequence[str],
                 folder: str | os.PathLike[str], *, first_label: int = 1,
                 templates: str | os.PathLike[str] | None = None, replace: bool = False) -> None:
        self._formats, self._templates = formats, templates_folder(templates)
        self._set = paper_set(assessment, names, Wishes(first_label, label_stock(self._templates)))
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
