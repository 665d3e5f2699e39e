"""Papers as PDF, set by the typst binding, which is an extra: ``pip install fuseplan[papers]``.

Layout is in the templates, which the user may copy and change; texts reach them as data and are never read as markup.
"""

from __future__ import annotations

import ctypes
import json
import sys
import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from datetime import UTC, datetime
from importlib.resources import as_file
from importlib.resources import files as package_files
from pathlib import Path
from typing import Any

from fuseplan.errors import PaperError
from fuseplan.papers.harmless import shown
from fuseplan.papers.paper import Paper
from fuseplan.papers.paper_set import Head, PaperSet, marks_of
from fuseplan.papers.writers.font_signs import signs_of, spelled
from fuseplan.papers.writers.pdf_blocks import DENSE, block_data, breakable, cut
from fuseplan.papers.writers.pieces import MOST_CELLS, cells_of, pieces

MAIN = "paper.typ"
FONTS = ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf")
INSTALL = ("PDF needs the package typst, which is not installed: pip install typst. "
           "The other formats work without it: --format html,xlsx,csv,svg,txt")
_AT_ONCE = 2
"""Pieces set at once: each takes a core and up to 160 MB, a whole paper more."""
_REMEMBERED = 12
"""Runs after which typst has forgotten, and some more."""
NO_DAY = datetime(2000, 1, 1, tzinfo=UTC)
"""Date inside a PDF whose plan has none: a file's bytes never depend on the clock."""


def files(papers: PaperSet, templates: Path | None = None) -> Iterator[tuple[str, bytes]]:
    """One file a paper; a long one in several, ``fuse-map-2.pdf``.

    Raises:
        PaperError: typst is not installed, or a template does not work.
    """
    try:
        import typst
    except ImportError:
        raise PaperError(INSTALL) from None
    day = datetime.fromisoformat(papers.head.day).replace(tzinfo=UTC) if papers.head.day else NO_DAY
    package = package_files("fuseplan.papers")
    with as_file(package / "fonts") as fonts, as_file(package / "templates") as shipped:
        root = templates if templates is not None and (templates / MAIN).is_file() else shipped
        own = sorted(each for each in root.iterdir() if each.suffix.lower() in (".ttf", ".otf"))
        regular, bold = (signs_of(fonts / name) for name in FONTS)
        # Signs of the user's own fonts may be set by them; which, only the template knows.
        signs = (regular & bold).union(*map(signs_of, own))
        # A compiler serves one thread at a time, and takes longer to be made than a short paper.
        kept = threading.local()

        def set_piece(piece: Paper, number: int, count: int) -> bytes:
            if not hasattr(kept, "compiler"):
                kept.compiler = typst.Compiler(str(root / MAIN), root=str(root), font_paths=[str(fonts), str(root)],
                                               ignore_system_fonts=True)
            try:
                raw = kept.compiler.compile(
                    format="pdf", timestamp=int(day.timestamp()), pdf_tags=piece.tagged,
                    sys_inputs={"paper": data_of(papers.head, piece, signs, number, count)})
            except (typst.TypstError, RuntimeError) as error:
                raise PaperError(f"{shown(root / MAIN)}: the template does not work for {piece.name}: {shown(error)}; "
                                 "accepted are templates like those of fuseplan papers --copy-templates FOLDER"
                                 ) from None
            assert isinstance(raw, bytes), "one file was asked for, in memory"
            return raw

        yield from _set_all(papers.papers, set_piece)


def _set_all(papers: Iterable[Paper], set_piece: Callable[[Paper, int, int], bytes]) -> Iterator[tuple[str, bytes]]:
    """File names and bytes in the order of the papers, some pieces set at once, which typst does beside Python."""
    held = 0
    with ThreadPoolExecutor(_AT_ONCE) as pool:
        waiting: deque[tuple[str, Future[bytes]]] = deque()
        for paper in papers:
            parts = pieces(paper)
            for number, piece in enumerate(parts, 1):
                held += cells_of(piece)
                if held > MOST_CELLS:
                    while waiting:
                        yield _next(waiting)
                    _forget()
                    held = cells_of(piece)
                name = f"{paper.name}{f'-{number}' if len(parts) > 1 else ''}.pdf"
                waiting.append((name, pool.submit(set_piece, piece, number, len(parts))))
                if len(waiting) > _AT_ONCE:
                    yield _next(waiting)
        while waiting:
            yield _next(waiting)


def _next(waiting: deque[tuple[str, Future[bytes]]]) -> tuple[str, bytes]:
    name, raw = waiting.popleft()
    return name, raw.result()


def _forget() -> None:
    """Have typst drop what it remembers of earlier papers, which it keeps over its last ten runs, and the C library
    give the memory back to the system, where it can: glibc keeps what several threads freed."""
    import typst

    for _ in range(_REMEMBERED):
        typst.compile(b"#1", format="pdf", ignore_system_fonts=True)
    give_back = getattr(ctypes.CDLL(None), "malloc_trim", None) if sys.platform == "linux" else None
    if give_back is not None:
        give_back(0)


def data_of(head: Head, paper: Paper, signs: frozenset[str], piece: int = 1, count: int = 1) -> str:
    """What a template is given, as JSON: head, title, marks, and the blocks one by one; signs that no font has are
    spelled as their codes."""
    room_mm = 270.0 if paper.landscape else 183.0
    blocks: list[dict[str, Any]] = [block_data(block, room_mm) for block in paper.blocks]
    return json.dumps(_ready({
        "title": paper.title, "landscape": paper.landscape, "piece": piece, "pieces": count,
        "dense": DENSE, "marks": marks_of(paper),
        "head": {"title": cut(paper.title, 50), "plan": cut(head.plan, 90), "state": cut(head.state, 50),
                 "limits": cut(head.limits, 90),
                 "whole": [f"{head.plan}, {head.state}", f"Limits: {head.limits}"], "notice": head.notice,
                 "banner": head.banner, "dangers": head.dangers},
        "blocks": blocks}, signs), ensure_ascii=False)


def _ready(value: Any, signs: frozenset[str]) -> Any:
    """Data with every text ready to be set: signs that no font has spelled, long words made to be broken. A drawing's
    texts stand where it puts them."""
    if isinstance(value, str):
        return breakable(spelled(value, signs))
    if isinstance(value, dict):
        return {key: spelled(each, signs) if key == "svg" else _ready(each, signs) for key, each in value.items()}
    return [_ready(each, signs) for each in value] if isinstance(value, (list, tuple)) else value
