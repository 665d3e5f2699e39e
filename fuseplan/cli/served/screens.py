"""The program behind one page: the screens on a plan, over the pipes of the web server that started it."""

from __future__ import annotations

import contextlib
import sys
from pathlib import Path

from fuseplan.cli.terminal import report_error
from fuseplan.errors import FuseplanError


def main() -> int:
    """Run the screens on the plan named as the only argument until the page goes away."""
    from fuseplan.session.opening import open_session
    from fuseplan.tui.app import FuseplanApp

    try:
        app = FuseplanApp(open_session(Path(sys.argv[1])))
        app.run()
        if app.return_value is None:
            # Nobody chose to leave: the page was closed or the tablet fell asleep, perhaps in the middle of an edit.
            app.session.keep_for_recovery()
    except FuseplanError as error:
        report_error(error)
        return 2
    return app.return_code or 0


if __name__ == "__main__":
    with contextlib.suppress(KeyboardInterrupt):
        sys.exit(main())
