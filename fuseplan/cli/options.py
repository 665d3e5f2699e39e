"""Options that several commands take."""

from __future__ import annotations

import argparse


def limits_option(parser: argparse.ArgumentParser) -> None:
    """Add ``--limits NAME``, read as ``limit_set``."""
    parser.add_argument("--limits", dest="limit_set", metavar="NAME",
                        help="check against this set of published limits, not the plan's own")
