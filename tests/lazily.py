"""Judges' libraries, loaded by the first test that asks them: every worker collects every test, and few use them."""

from __future__ import annotations

import importlib
from typing import Any


class Lazily:
    """Stands for a module: what is asked of it is asked of the module, which is loaded then."""

    def __init__(self, name: str) -> None:
        self._name = name

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__"):  # what collecting asks of whatever stands in a file of tests
            raise AttributeError(name)
        return getattr(importlib.import_module(self._name), name)
