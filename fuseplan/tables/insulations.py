"""Insulations and the outside diameters they give a wire."""

from __future__ import annotations

from functools import cache

import numpy as np

from fuseplan.records import dataclass
from fuseplan.tables.load import Cited, Source, of_name, row_source, table


@dataclass(frozen=True)
class Insulation:
    """One insulation. Temperatures in °C, thermal conductivity in W/(m K), ``wall`` standard or thin.

    ``short_c`` is the final conductor temperature allowed in a short circuit, None where nothing is
    on file; ``short_source`` says where it comes from.
    """

    name: str
    words: str
    max_c: float
    short_c: float | None
    conductivity_w_mk: float
    wall: str
    source: Source
    short_source: Source | None


# Outside diameters by wall, tried in this order; each is (table, area column, diameter column).
_DIAMETERS = {
    "thin": (
        ("uk_thin_wall_class_b", "area_mm2", "outside_max_mm"),
        ("vehicle_wire_sample_diameters", "area_mm2", "outside_mm"),
    ),
    "standard": (("jis_c_3406_av", "area_mm2", "outside_mm"),),
}


def _number(cell: float | str | None) -> float:
    assert isinstance(cell, float)
    return cell


def _insulations() -> dict[str, Insulation]:
    classes = table("insulation_classes")
    limits = table("insulation_short_circuit_limits")
    found: dict[str, Insulation] = {}
    for row in classes.rows():
        name = str(row["name"])
        short = limits.cited("name", name, "short_c")
        found[name] = Insulation(
            name=name,
            words=str(row["words"]),
            max_c=_number(row["max_c"]),
            short_c=None if short is None else short.value,
            conductivity_w_mk=_number(row["conductivity_w_mk"]),
            wall=str(row["wall"]),
            source=row_source(classes, row),
            short_source=None if short is None else short.source,
        )
    return found


INSULATIONS: dict[str, Insulation] = _insulations()
"""All insulations on file by name."""


def insulation(name: str) -> Insulation:
    """The insulation of that name. Raises TableError naming the accepted ones."""
    return of_name(INSULATIONS, name, "insulation")


@cache
def outside_diameter_mm(area_mm2: float, insulation_name: str) -> Cited[float] | None:
    """Outside diameter in mm of a wire: printed, next row up; None past the last row.

    Printed for PVC walls; wires of other materials take the diameter of the same wall.
    """
    for name, areas, diameters in _DIAMETERS[insulation(insulation_name).wall]:
        printed = table(name)
        index = int(np.searchsorted(printed.array(areas), area_mm2 - 1e-9, side="left"))
        if index < printed.array(areas).size:
            return Cited(float(printed.array(diameters)[index]), printed.citation)
    return None
