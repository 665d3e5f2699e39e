"""Options that several commands take, and names that must be known."""

from __future__ import annotations

import argparse
from collections.abc import Iterable


def limits_option(parser: argparse.ArgumentParser) -> None:
    """Add ``--limits NAME``, read as ``limit_set``."""
    parser.add_argument("--limits", dest="limit_set", metavar="NAME",
                        help="check against this set of published limits, not the plan's own")


def check_name(where: str, what: str, name: str | None, known: Iterable[str], most: int = 8, more: str = "") -> None:
    """Refuse, as EditError, a name that is none of those known; None is no name. `where` it is unknown and `what` it
    would be are said, at most so many of the known ones, and `more` behind them."""
    names = list(known)
    if name is not None and name not in names:
        from fuseplan.errors import EditError
        from fuseplan.plan.references import accepted

        raise EditError(f"{where}: there is no {what} '{name}'; {accepted(name, names, most)}{more}")
