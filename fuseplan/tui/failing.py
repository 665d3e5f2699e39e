"""What happens when the program itself is wrong: the work is kept first, then one sentence says so."""

from __future__ import annotations

import contextlib
import io
import sys
from typing import cast

from rich.console import Console, RenderableType
from textual.worker import WorkerFailed

from fuseplan.errors import StoreError
from fuseplan.papers.harmless import harmless_lines
from fuseplan.planfile.crash_report import details, named
from fuseplan.tui.program import Program


class Failing(Program):
    """The part of the program that ends it after an error nobody foresaw."""

    failure: Exception | None = None

    def panic(self, *renderables: RenderableType) -> None:
        """As the base does it, after an error in what reads the terminal: it ends the program in order, too."""
        told = Console(file=io.StringIO(), width=120)
        told.print(*renderables)
        error = OSError("the terminal could not be read any more")
        error.add_note(cast("io.StringIO", told.file).getvalue())
        self._note_failure(error)
        super().panic(*renderables)

    def _handle_exception(self, error: Exception) -> None:
        self._note_failure(error)
        super()._handle_exception(error)

    def _note_failure(self, error: Exception) -> None:
        if self.failure is None:
            self.failure = error
            self._kept_words = self._keep_all()
            # What failed in long work away from the keys comes wrapped, and the wrapping has no traceback.
            self._noted_words = details(_inner(error))

    def _keep_all(self) -> str:
        try:
            self.session.keep_after_failure()
        except StoreError as error:
            return f"what was not saved could not be kept: {error}"
        if self.session.work() is None and not self.session.is_unsaved and not self.session.drafts.texts:
            return "everything was saved"
        opened = "fuseplan" if self.session.document.path is None else f"fuseplan {self.session.file_words}"
        return f"what was not saved is kept and is offered when you next start {opened}"

    def _fatal_error(self) -> None:
        # Ends the program as the base does, without drawing a page of traceback over the person's terminal.
        self.bell()
        self._close_messages_no_wait()

    def _print_error_renderables(self) -> None:
        if self.failure is None:
            super()._print_error_renderables()
            return
        self._exit_renderables.clear()
        what = named(_inner(self.failure))
        with contextlib.suppress(OSError):
            sys.stderr.write(harmless_lines(f"fuseplan: an error in the program closed the screens ({what}); "
                                            f"{self._kept_words}{self._noted_words}") + "\n")


def _inner(error: Exception) -> BaseException:
    return error.error if isinstance(error, WorkerFailed) else error
