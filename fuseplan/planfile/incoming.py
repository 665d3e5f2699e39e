"""What comes into a plan from outside: values, and circuits as text."""

from __future__ import annotations

import tomllib
from typing import Any

from fuseplan.errors import EditError
from fuseplan.planfile import edits
from fuseplan.planfile.plain import literal, section_text
from fuseplan.planfile.read import parse_data
from fuseplan.planfile.renaming import rename_keys


def plain_value(value: object) -> Any:
    """A value as a TOML reader would give it back; raises EditError for what TOML cannot hold."""
    written = literal(value)
    try:
        written.encode("utf-8")
    except UnicodeEncodeError:
        raise EditError("half a character cannot stand in a plan; accepted is text in UTF-8") from None
    return tomllib.loads(f"v = {written}")["v"]


def circuit_of_text(text: str, name: str) -> tuple[str, dict[str, Any]]:
    """The one circuit of a text under a new name, as a block with its comments and as plain data."""
    circuits = parse_data(text, "circuit").get("circuit", {})
    if not isinstance(circuits, dict) or len(circuits) != 1:
        raise EditError("accepted is a text with exactly one [circuit.NAME]")
    (old, plain), = circuits.items()
    block = edits.block_of(text if text.endswith("\n") else text + "\n", ("circuit", old))
    if block is None:
        return section_text(("circuit", name), plain), plain
    return rename_keys(block, ("circuit", old), name), plain
