"""Explain the words this program uses, each with the standard it comes from; American words are found too."""

from __future__ import annotations

import argparse


def add(parser: argparse.ArgumentParser) -> None:
    """Arguments of ``fuseplan terms``."""
    parser.add_argument("word", metavar="WORD", nargs="*", help="a word, such as ampacity or ground; left out: all")


def run(args: argparse.Namespace) -> int:
    """Print the words."""
    from fuseplan.cli.terminal import complain, painter, room, write
    from fuseplan.papers.terms import find_terms, terms, terms_text

    asked = " ".join(args.word)
    found = find_terms(asked) if asked.strip() else list(terms())
    if not found:
        from fuseplan.plan.references import accepted

        known = [name for each in terms() for name in (each.word, *each.also)]
        complain(f"fuseplan terms: '{asked}' is not explained; {accepted(asked, known)}; fuseplan terms lists all")
        return 2
    write(terms_text(found, room(), painter()))
    return 0
