"""Every public class and function says what it is: in a docstring, its own or that of what it overrides, or in the
words of the declaration it carries."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from collections.abc import Iterator
from types import ModuleType
from typing import Any

import pytest

import fuseplan
from fuseplan.results.part import Declaration

ROOMS = sorted(each.name for each in pkgutil.iter_modules(fuseplan.__path__) if each.ispkg)
HOOKS = ("compose", "render", "on_", "action_", "watch_", "validate_", "key_")
"""Beginnings of methods whose meaning is the screen library's; actions stand with their words in one list."""


def modules(room: str) -> Iterator[ModuleType]:
    package = importlib.import_module(f"fuseplan.{room}")
    yield package
    for each in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
        yield importlib.import_module(each.name)


def public(module: ModuleType) -> Iterator[tuple[str, Any]]:
    """Functions and classes a module defines, and what the classes define, by name."""
    for name, value in vars(module).items():
        if name.startswith("_") or getattr(value, "__module__", None) != module.__name__:
            continue
        if inspect.isfunction(value) or inspect.isclass(value) or hasattr(value, "__wrapped__"):
            yield f"{module.__name__}.{name}", value
        if inspect.isclass(value):
            for inner in vars(value):
                if not inner.startswith("_") and is_told_of(inspect.getattr_static(value, inner)):
                    yield f"{module.__name__}.{name}.{inner}", inspect.getattr_static(value, inner)


def is_told_of(value: Any) -> bool:
    """Whether it is something that computes: fields say what they are beside their type."""
    return inspect.isroutine(value) or isinstance(value, property) or hasattr(value, "func")


def is_documented(where: str, value: Any, module: ModuleType) -> bool:
    if isinstance(value, Declaration):
        return bool(value.words)
    name = where.rpartition(".")[2]
    if module.__name__.startswith("fuseplan.tui") and name.startswith(HOOKS):
        return True
    if module.__name__.startswith("fuseplan.checks.rules.") and name == "find":
        return bool(module.__doc__)
    return bool((inspect.getdoc(value) or "").strip())


@pytest.mark.parametrize("room", ROOMS)
def test_public_names_of_a_room_are_documented(room: str) -> None:
    seen, silent = 0, []
    for module in modules(room):
        assert module.__doc__, module.__name__
        for where, value in public(module):
            seen += 1
            if not is_documented(where, value, module):
                silent.append(where)
    assert seen
    assert silent == []
