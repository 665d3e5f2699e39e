"""The console script: ``fuseplan``, ``fuseplan PLAN``, ``fuseplan COMMAND …``.

Nothing is imported here but what Python has loaded anyway: whatever happens while the rest is loaded, Ctrl-C included,
is then dealt with like everything later.
"""

from __future__ import annotations

import sys

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit status, see `exit_status.py`.

    `arguments` left out are those of the process, which then also answers to signals.
    """
    try:
        from fuseplan.cli import running
    except KeyboardInterrupt:
        return 130
    try:
        return running.run(arguments)
    except KeyboardInterrupt:
        return running.INTERRUPTED


if __name__ == "__main__":
    sys.exit(main())
