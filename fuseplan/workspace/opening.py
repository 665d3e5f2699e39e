"""Opens a plan for the screens: the file given, or the example that comes with the program."""

from __future__ import annotations

from pathlib import Path as FilePath

from fuseplan.errors import StoreError
from fuseplan.planfile.files import read_text
from fuseplan.planfile.library import shipped_folder
from fuseplan.workspace.session import Session


def open_session(path: FilePath | None) -> Session:
    """A session on a plan's file, or without one on a copy of the shipped example, which has no file to overwrite.

    Raises:
        PlanError: The file cannot be read as a plan.
        LimitsError: It names a set of limits that is not on file.
        StoreError: The shipped example is not there.
    """
    if path is not None:
        return Session.open(path)
    examples = sorted(shipped_folder("examples").glob("*.toml"))
    if not examples:
        raise StoreError("no example comes with this fuseplan; accepted is the file of a plan: fuseplan PLAN")
    return Session.of_text(read_text(str(examples[0])).text)
