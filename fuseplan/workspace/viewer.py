"""A written paper opened in the viewer the system has for it; nothing is started but on request."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

from fuseplan.errors import PaperError
from fuseplan.planfile.files import clean_path

_STARTERS = {"darwin": "open"}
_OTHER_STARTER = "xdg-open"
_VIEWED = (".pdf", ".svg", ".html")
"""Ends of the names of files that show a paper as it is printed, the best first."""


def file_to_view(written: Sequence[Path], name: str) -> Path | None:
    """The file among those written that shows a paper as it is printed: its own, else one with all papers; None where
    none of them does."""
    def own(path: Path) -> bool:
        rest = path.stem.removeprefix(name)
        return path.stem.startswith(name) and (not rest or (rest[0] == "-" and rest[1:].isdigit()))

    for end in _VIEWED:
        found = next((path for path in written if path.suffix == end and own(path)), None)
        if found is not None:
            return found
    return next((path for path in written if path.suffix == ".html"), None)


def view(path: Path) -> None:
    """Open a file in the system's viewer, and do not wait for it.

    Raises:
        PaperError: The file is gone, the system names no viewer, or that does not start; with its path, to be opened by
            hand.
    """
    if not path.is_file():
        raise PaperError(f"{clean_path(path)}: it is not there any more; write the papers again")
    try:
        if sys.platform == "win32":
            os.startfile(path)
            return
        starter = shutil.which(_STARTERS.get(sys.platform, _OTHER_STARTER))
        if starter is None:
            raise PaperError(f"{clean_path(path)}: the system names no viewer for it; open it by hand")
        # A name cannot be taken for an option: the path is absolute.
        subprocess.Popen([starter, str(path.absolute())], stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
                         stderr=subprocess.DEVNULL, start_new_session=True)
    except OSError as error:
        raise PaperError(f"{clean_path(path)}: its viewer does not start ({error}); open it by hand") from None
