"""A user's own set of limits: the same TOML as the shipped ones, beside the plan or in the user's folder.

Beside the plan the file is ``NAME.limits.toml``, in the user's folder ``NAME.toml``; the one beside the plan wins. A
shipped name cannot be taken: a verdict "by road" means the same limits on every machine.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from fuseplan.errors import LimitsError, PlanError
from fuseplan.limits import LimitSet, limit_set, names, parse
from fuseplan.plan.model import Plan
from fuseplan.plan.references import accepted
from fuseplan.planfile.files import clean_path, read_text
from fuseplan.planfile.read import read_plan
from fuseplan.quantities.amounts import clean

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment

ENDING = ".limits.toml"
_NAME = re.compile(r"[a-z0-9_]{1,40}")


def user_folder() -> Path:
    """Folder of the user's own sets of limits; need not exist."""
    from platformdirs import user_config_path

    return user_config_path("fuseplan") / "limits"


def _files(plan_path: Path | None) -> Iterator[tuple[str, Path]]:
    """(name, file) of every own set of limits, the one beside the plan first."""
    for folder, ending in ((None if plan_path is None else plan_path.parent, ENDING), (user_folder(), ".toml")):
        if folder is None:
            continue
        try:
            found = sorted(file for file in folder.iterdir() if file.name.endswith(ending) and file.name[0] != ".")
        except OSError:
            continue
        yield from ((file.name.removesuffix(ending), file) for file in found)


def own_names(plan_path: Path | None = None) -> tuple[str, ...]:
    """Names of the sets of limits a user may choose for a plan besides the shipped ones."""
    return tuple(dict.fromkeys(name for name, _ in _files(plan_path) if _NAME.fullmatch(name) and name not in names()))


def find_limit_set(name: str, plan_path: Path | None = None) -> LimitSet:
    """The limits of a name, shipped or the user's own.

    Raises:
        LimitsError: There is none, or its file is not complete; the message names the file, the place in it, and what
            is accepted.
    """
    if name in names():
        return limit_set(name)
    for found, file in _files(plan_path):
        if found == name:
            return _read(name, file)
    known = [*names(), *own_names(plan_path)]
    raise LimitsError(f"'{clean(name)}' is not a set of limits on file; {accepted(name, known)}; a file of your own is "
                      f"{clean(name)}{ENDING} beside the plan or {clean(name)}.toml in {clean_path(user_folder())}")


def limit_set_of(plan: Plan, plan_path: Path | None = None, name: str | None = None) -> LimitSet:
    """The limits to judge a plan by: the one named, else the plan's own choice. Raises LimitsError."""
    return find_limit_set(name or plan.vehicle.limits, plan_path)


def assessed(path: str | os.PathLike[str], name: str | None = None) -> Assessment:
    """The assessment of a plan's file by the limits named, else by those it chooses. Raises PlanError and
    LimitsError."""
    from fuseplan.checks.assessment import assess

    plan = read_plan(path)
    return assess(plan, limit_set_of(plan, Path(path), name))


def _read(name: str, file: Path) -> LimitSet:
    where = clean_path(file)
    try:
        found = parse(read_text(file).text, where)
    except PlanError as error:
        raise LimitsError(str(error)) from None
    if found.name != name:
        raise LimitsError(f"{where}: 'name' is '{found.name}'; accepted is the name of the file, '{clean(name)}'")
    return found
