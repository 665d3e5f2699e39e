"""Formulas of other authors that the program does not use: the ones it uses are held against them.

Importing this package registers them beside the program's own.
"""

import importlib
import pkgutil

for _entry in pkgutil.iter_modules(__path__):
    importlib.import_module(f"{__name__}.{_entry.name}")
