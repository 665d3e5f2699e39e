"""A circuit whose verdict is unknown is never shown as one with nothing against it."""

from __future__ import annotations

from fuseplan.tui.widgets.findings_list import _extras

LIMITS = "road"


def words(unknown: tuple[str, ...], assumed: tuple[str, ...] = ()) -> str:
    return "\n".join(each.plain for each in _extras((), None, None, (), LIMITS, unknown, assumed))


def test_what_is_not_known_stands_where_nothing_found_would() -> None:
    assert "No faults found" in words(())
    told = words(("resistance of the way to feed bus",))
    assert "No faults found" not in told
    assert "resistance of the way to feed bus" in told


def test_what_was_assumed_stands_beside_the_findings() -> None:
    assert "Assumed: resistance of its switch, 10 mΩ" in words((), ("resistance of its switch, 10 mΩ",))
