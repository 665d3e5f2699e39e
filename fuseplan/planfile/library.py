"""The library of circuit definitions: the shipped ones, and the user's own, which win."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path as FilePath
from typing import Any, Literal

from pydantic import ValidationError

import fuseplan
from fuseplan.errors import EditError, PlanError, Problem, StoreError
from fuseplan.plan.definition import DefinitionFile
from fuseplan.plan.model import Circuit, Plan
from fuseplan.plan.reference_problems import part_problems
from fuseplan.plan.references import Path, accepted, names_in, part_kind_words
from fuseplan.planfile import edits
from fuseplan.planfile.files import read_text
from fuseplan.planfile.plain import section_text, with_value
from fuseplan.planfile.read import MOST_PROBLEMS, check_format, name_problems, parse_data, refusal
from fuseplan.planfile.renaming import rename_keys
from fuseplan.quantities import writing
from fuseplan.quantities.amounts import clean
from fuseplan.records import dataclass

FEED_TERMINALS = {
    "main_bus": "30", "accessory_bus": "75", "ignition_bus": "15", "engine_bus": "87", "crank_bus": "50",
    "light_bus": "58", "lamp_bus": "56", "coils_30": "30", "coils_15": "15", "coils_87": "87", "coils_50": "50",
    "coils_58": "58", "coils_56": "56",
}
"""DIN 72552 terminal of each feed the definitions name; the last ones have a small fuse for relay coils alone."""
ROOT_FEED, ROOT_EARTH, ENGINE_EARTH, SENSOR_EARTH = "battery_post", "battery_negative", "engine_block", "sensor_earth"
"""Names the definitions give to the two battery posts, to the engine and to the control unit's sensor earth."""


@dataclass(frozen=True)
class Definition:
    """One file of the library.

    Attributes:
        id: the file's name without its suffix
        title, group, note, caution: what it is and what to look out for
        also: what else people call it
        origin: the file
        circuits: plain tables by the id the file gives them
        text: the file's text
    """

    id: str
    title: str
    group: str
    note: str
    caution: str
    origin: FilePath
    circuits: Mapping[str, dict[str, Any]]
    text: str
    also: tuple[str, ...] = ()


@dataclass(frozen=True)
class Library:
    """All definitions by id, and what is wrong with files that were passed over."""

    definitions: dict[str, Definition]
    problems: tuple[Problem, ...]


@dataclass(frozen=True)
class Mapped:
    """A definition's circuits with the plan's own names put in.

    Attributes:
        texts: TOML text of each circuit, comments included, by its new id
        tables: the same as plain tables
        reports: a sentence for each name that was replaced or that the plan lacks, and for figures of another voltage
        missing: kind and name of what the plan lacks; the circuits cannot be inserted before it is there
    """

    texts: dict[str, str]
    tables: dict[str, dict[str, Any]]
    reports: tuple[str, ...]
    missing: tuple[tuple[str, str], ...]


def shipped_folder(name: Literal["circuits", "examples"]) -> FilePath:
    """Folder of the shipped files, in an installed package or in a checkout; StoreError if it is in neither."""
    package = FilePath(fuseplan.__file__).resolve().parent
    for folder in (package / "_shipped" / name, package.parent / name):
        if folder.is_dir():
            return folder
    raise StoreError(f"the folder '{name}' that comes with fuseplan is not there; install fuseplan again")


def user_folder() -> FilePath:
    """Folder of the user's own definitions; need not exist."""
    from platformdirs import user_config_path

    return user_config_path("fuseplan") / "circuits"


def library() -> Library:
    """Every definition that can be read. A file that cannot be read is a problem in the result, never an error."""
    found: dict[str, Definition] = {}
    problems: list[Problem] = []
    for folder in (shipped_folder("circuits"), user_folder()):
        for file in _files(folder):
            try:
                found[file.stem] = read_definition(file)
            except PlanError as error:
                problems += error.problems
    return Library(dict(sorted(found.items())), tuple(problems))


def definitions() -> dict[str, Definition]:
    """Every definition that can be read, by id; the user's wins."""
    return library().definitions


def _files(folder: FilePath) -> Iterator[FilePath]:
    try:
        yield from sorted(file for file in folder.iterdir() if file.suffix == ".toml" and not file.name.startswith("."))
    except OSError:
        return


def read_definition(file: FilePath) -> Definition:
    """One file of the library.

    Raises:
        PlanError: With everything that is wrong with the file.
    """
    shown = str(file)
    text = read_text(file).text
    data = parse_data(text, shown)
    check_format(data, text, shown)
    try:
        head, wrong = DefinitionFile.model_validate(data).definition, None
    except ValidationError as error:
        head, wrong = None, error
    others = [*part_problems(data, MOST_PROBLEMS + 1), *name_problems(data, MOST_PROBLEMS + 1)]
    if head is None or others:
        raise refusal(shown, text, data, wrong, others, DefinitionFile)
    return Definition(
        file.stem, head.title, head.group, head.note or "", head.caution, file, data["circuit"], text,
        head.also)


def definition(name: str) -> Definition:
    """One definition by id, the user's before the shipped one.

    Raises:
        EditError: There is none of that id.
        PlanError: Its file is wrong.
    """
    folders = (user_folder(), shipped_folder("circuits"))
    for folder in folders:
        for file in _files(folder):
            if file.stem == name:
                return read_definition(file)
    known = {file.stem for folder in folders for file in _files(folder)}
    raise EditError(f"the library has no definition '{clean(name)}'; {accepted(name, sorted(known))}")


def circuit_for(plan: Plan, name: str) -> Mapped:
    """A definition's circuits made to fit a plan.

    A feed, earth or zone that the plan lacks is replaced by the one that has its terminal or its role, where
    that is only one; otherwise it is left and reported. An id that is taken is numbered.

    Args:
        plan: the plan the circuits are meant for
        name: the definition's id
    Raises:
        EditError: No such definition.
        PlanError: The definition's file is wrong.
    """
    chosen = definition(name)
    texts: dict[str, str] = {}
    tables: dict[str, dict[str, Any]] = {}
    reports: dict[str, None] = {}
    missing: dict[tuple[str, str], None] = {}
    for own, table in chosen.circuits.items():
        fresh = free_name(own, {*plan.circuit, *texts})
        path: Path = ("circuit", own)
        data: dict[str, Any] = {"circuit": {own: table}}
        text = edits.block_of(chosen.text, path) or section_text(path, table)
        for spot, known, kind in list(names_in(data)):
            ours, report = own_name(plan, kind, known)
            if report:
                reports[report] = None
            if ours is None:
                missing[kind, known] = None
            elif ours != known:
                text, data = edits.put(text, data, spot, ours), with_value(data, spot, ours)
        for spot, group in _groups_taken(plan, chosen.id, path, table):
            reports[f"a second one: its load is set against group '{group}', not against that of the first"] = None
            text, data = edits.put(text, data, spot, group), with_value(data, spot, group)
        extra = {"taken_from": chosen.id, "caution": chosen.caution, "note": chosen.note}
        for key, value in extra.items():
            if value and (key == "taken_from" or key not in data["circuit"][own]):
                text, data = edits.put(text, data, (*path, key), value), with_value(data, (*path, key), value)
        voltage = other_voltage(table, float(plan.vehicle.system))
        if voltage:
            reports[voltage] = None
        texts[fresh], tables[fresh] = rename_keys(text, path, fresh), data["circuit"][own]
    return Mapped(texts, tables, tuple(reports), tuple(missing))


def other_voltage(table: Mapping[str, Any], system_v: float) -> str:
    """That the figures of a definition's circuit are those of parts for another system than the car's, and what to do;
    empty where they may be the car's."""
    from fuseplan.checks.other_voltage import load_made_for

    circuit = Circuit.model_validate(table)
    other = next((each[1] for load in circuit.load
                  if (each := load_made_for(load, circuit.role, system_v)) is not None), None)
    own = writing.stated(system_v, "V")
    return "" if other is None else (
        f"its figures are those of {writing.stated(other, 'V')} parts and the car's system is {own}: enter the figures "
        f"of the {own} parts fitted")


def _groups_taken(plan: Plan, definition_id: str, path: Path, table: Mapping[str, Any]) -> Iterator[tuple[Path, str]]:
    """Where a definition the plan already has names `either` groups, and the next free name of each: the lamps of a
    second pair are on with those of the first, and must not be counted as one of them."""
    used = {load.either for circuit in plan.circuit.values() if circuit.taken_from == definition_id
            for load in circuit.load if load.either is not None}
    for number, load in enumerate(table.get("load", ())):
        group = load.get("either")
        if group in used:
            yield (*path, "load", number, "either"), free_name(group, used)


def free_name(name: str, taken: set[str]) -> str:
    """A name that is not taken: itself, else with a number behind it."""
    number, found = 1, name
    while found in taken:
        number += 1
        found = f"{name}_{number}"
    return found


def own_name(plan: Plan, kind: str, name: str) -> tuple[str | None, str]:
    """The plan's own name for what a definition names, and a sentence if it is another one or none."""
    known: Mapping[str, Any] = getattr(plan, kind)
    if name in known:
        return name, ""
    candidates, named = _candidates(plan, kind, name), f"{part_kind_words(kind)} '{name}'"
    if len(candidates) == 1:
        return candidates[0], f"{named} of the library became '{clean(candidates[0])}' of this plan"
    why = f"{len(candidates)} would do: {', '.join(map(clean, candidates))}" if candidates else accepted(name, known)
    return None, f"this plan has no {named}; {why}"


def _candidates(plan: Plan, kind: str, name: str) -> list[str]:
    """The parts of a plan that have the role of a name of the library."""
    spelled = [known for known in getattr(plan, kind) if _plain_name(known) == _plain_name(name)]
    if spelled:
        return spelled
    if kind == "feed":
        if name == ROOT_FEED:
            return [known for known, feed in plan.feed.items() if feed.upstream is None]
        terminal = FEED_TERMINALS.get(name)
        return [known for known, feed in plan.feed.items() if terminal and feed.terminal == terminal]
    if kind == "earth":
        if name == ROOT_EARTH:
            return [known for known, earth in plan.earth.items() if earth.upstream is None]
        on_engine = name in (ENGINE_EARTH, SENSOR_EARTH)
        return [
            known for known, earth in plan.earth.items()
            if earth.upstream is not None and bool(earth.engine) == on_engine
        ]
    return []


def _plain_name(name: str) -> str:
    return "".join(c for c in name.casefold() if c.isalnum())
