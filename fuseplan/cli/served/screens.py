"""The program behind one page: the screens on a plan, over the pipes of the web server that started it."""

from __future__ import annotations

import contextlib
import os
import select
import signal
import sys
import threading
import time
from pathlib import Path

from fuseplan.cli.terminal import report_error
from fuseplan.errors import FuseplanError

MOST_MEMORY = 4 * 1024**3
"""Address space in bytes the program may take: far above what the largest plan needs, so that a page cannot bring the
machine down."""
LAST_S = 10.0
"""How long the program may take to end once the server is gone."""


def main() -> int:
    """Run the screens on the plan named as the only argument until the page or the server goes away."""
    _bound_memory()
    from fuseplan.tui.app import FuseplanApp
    from fuseplan.workspace.opening import open_session

    try:
        session = open_session(Path(sys.argv[1]))
        session.confine()
        app = FuseplanApp(session)
        threading.Thread(target=_end_with_the_server, daemon=True).start()
        app.run()
        if app.return_value is None:
            # Nobody chose to leave: the page was closed or the tablet fell asleep, perhaps in the middle of an edit.
            app.session.keep_for_recovery()
    except FuseplanError as error:
        report_error(error)
        return 2
    return app.return_code or 0


def _bound_memory() -> None:
    with contextlib.suppress(ImportError, OSError, ValueError):
        import resource

        _, most = resource.getrlimit(resource.RLIMIT_AS)
        bound = MOST_MEMORY if most == resource.RLIM_INFINITY else min(MOST_MEMORY, most)
        resource.setrlimit(resource.RLIMIT_AS, (bound, most))


def _end_with_the_server() -> None:
    """Wait until standard input has nobody at its other end, then end: a server that was killed tells nothing."""
    if not hasattr(select, "poll"):
        return
    watch = select.poll()
    watch.register(0, 0)  # a closed other end is reported even where nothing is asked for
    watch.poll()
    # Textual's web driver leaves in order on this signal, so that what is not saved is kept.
    os.kill(os.getpid(), signal.SIGTERM)
    time.sleep(LAST_S)
    os._exit(1)


if __name__ == "__main__":
    with contextlib.suppress(KeyboardInterrupt):
        sys.exit(main())
