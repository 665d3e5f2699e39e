"""Goes on with what a session that was cut off left behind."""

from __future__ import annotations

from fuseplan.errors import FuseplanError
from fuseplan.planfile import crash_report
from fuseplan.planfile.document import PlanDocument
from fuseplan.planfile.merge import differences
from fuseplan.planfile.recovery import Kept, discard
from fuseplan.workspace.form import Form
from fuseplan.workspace.session import Session, judged


def go_on_with(session: Session, kept: Kept) -> None:
    """Take what was left behind into the session; undo goes back to the file.

    It is forgotten only once this session has kept it in its turn.

    Raises:
        PlanError, LimitsError, TableError, FaultError: It is no plan, or cannot be assessed; the session is as it was
            and nothing is forgotten.
        StoreError: It was taken, but cannot be kept again; it stays where it was.
    """
    if kept.text != session.document.text:
        session.replace_text(kept.text, "go on with what was not saved")
    for path, text in kept.typed:
        Form(session, path[:2]).type_text(path, text)
    session.history.seal()
    session.keep_for_recovery()
    discard(kept)


def why_not(session: Session, kept: Kept) -> str:
    """Why what was left behind cannot be gone on with: it is no plan, or cannot be assessed; empty where it can."""
    try:
        judged(PlanDocument.from_text(kept.text, session.document.path))
    except FuseplanError as error:
        return str(error)
    except Exception as error:  # whatever it is, taking it would end the program again
        return crash_report.not_worked_out(error)
    return ""


def what_differs(session: Session, kept: Kept) -> list[str]:
    """Line by line what going on with it would change, texts not taken by the plan at the end."""
    typed = [f"+ typed, not taken: {'.'.join(map(str, path))} = {text}" for path, text in kept.typed]
    return differences(session.document.text, kept.text) + typed


def changed_elsewhere(session: Session) -> list[str]:
    """Line by line what another program changed in the file; raises PlanError when it cannot be read."""
    from fuseplan.planfile.files import read_text

    path = session.document.path
    return [] if path is None else differences(session.document.base, read_text(path).text)
