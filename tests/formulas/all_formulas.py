"""Every formula of the package, and of those that others are held against."""

from __future__ import annotations

import importlib
import pkgutil

import fuseplan.formulas as package
from fuseplan.formulas.registry import _DECLARED, Formula, describe


def load_all() -> dict[str, Formula]:
    """Every formula loaded by ``module.name``; loads all topic modules of the package."""
    for module in pkgutil.iter_modules(package.__path__):
        importlib.import_module(f"{package.__name__}.{module.name}")
    return {entry.name: entry for entry in map(describe, _DECLARED)}
