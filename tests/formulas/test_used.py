"""Every formula of the package is used by the program; what only others are held against lies with the tests."""

from __future__ import annotations

import ast
from pathlib import Path

import fuseplan
from tests.formulas.all_formulas import load_all

PACKAGE = Path(fuseplan.__file__).parent


def imported() -> set[str]:
    """``module.name`` of every formula that a module of the package takes from another."""
    found = set()
    for path in PACKAGE.rglob("*.py"):
        text = path.read_text(encoding="utf-8")
        for node in ast.walk(ast.parse(text)) if "fuseplan.formulas." in text else ():
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("fuseplan.formulas."):
                module = str(node.module).rpartition(".")[2]
                found |= {f"{module}.{each.name}" for each in node.names}
    return found


def test_every_formula_of_the_package_is_used() -> None:
    own = {name for name, entry in load_all().items() if entry.function.__module__.startswith("fuseplan.")}
    assert len(own) > 60
    assert own - imported() == set()
