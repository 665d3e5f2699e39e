"""A table of what was measured, printed after the run.

``pytest tests/bench``: the ordinary run leaves this folder out. Times are processor time, the least of several runs, as
what else the machine does can only add to them: it takes the caches away. Nothing here fails for being slow: a number
is read by a person who knows what else the machine was doing.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

_ROWS: list[tuple[str, str, str]] = []


@pytest.fixture
def note() -> Callable[[str, str, str], None]:
    """Adds a row to the table: what, measured, aim."""

    def add(what: str, measured: str, aim: str = "") -> None:
        _ROWS.append((what, measured, aim))

    return add


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    if not _ROWS:
        return
    widths = [max(len(row[column]) for row in _ROWS) for column in range(3)]
    terminalreporter.section("measured")
    for row in _ROWS:
        terminalreporter.write_line("  ".join(text.ljust(width) for text, width in zip(row, widths, strict=True)))
