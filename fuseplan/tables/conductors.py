"""Conductors by size system: copper area, resistance at 20 °C, diameters.

Systems: ``mm2`` (IEC 60228 class 5), ``AWG`` (ASTM B258 areas), ``SAE`` (least areas of SAE J1127 and
J1128) and ``AV`` (JIS C 3406, whose nominal size is a name, not the area).
"""

from __future__ import annotations

import math
import re
from functools import cache

import numpy as np

from fuseplan.errors import TableError
from fuseplan.records import dataclass
from fuseplan.tables.gauges import MM2_PER_CMIL, awg_area_mm2
from fuseplan.tables.load import Source, Table, table

SYSTEMS: dict[str, str] = {
    "mm2": "square millimetres (IEC 60228 class 5)",
    "AWG": "American wire gauge (ASTM B258)",
    "SAE": "SAE size, thinner than the AWG of the same number (SAE J1127, J1128)",
    "AV": "Japanese nominal size (JIS C 3406)",
}

# Share of a strand's circle that is copper: 0.70 to 0.78 in the single-bunch rows of JIS C 3406 AV.
_FILL = 0.72
_MM2_NAMES = ("0.5", "0.75", "1", "1.5", "2.5", "4", "6", "10", "16", "25", "35", "50", "70", "95", "120")
_AWG_NAMES = (
    *("24", "22", "20", "18", "16", "14", "12", "10", "8", "6", "4", "3", "2", "1"),
    *("1/0", "2/0", "3/0", "4/0"),
)
_SAE_TABLES = ("sae_minimum_areas_small", "sae_minimum_areas_from_memory", "sae_minimum_areas_large")


@dataclass(frozen=True)
class Conductor:
    """One stranded copper conductor.

    Area in mm², resistance in ohm/m at 20 °C, diameters in mm; ``outside_diameter_mm`` is that of the
    system's own insulated wire, None where the system names bare conductors. ``source`` is that of the
    resistance, ``area_source`` that of the area; ``derived`` tells that the resistance is not printed.
    """

    system: str
    name: str
    area_mm2: float
    r20_ohm_per_m: float
    diameter_mm: float
    outside_diameter_mm: float | None
    source: Source
    area_source: Source
    derived: bool


def _strand_diameter_mm(area_mm2: float) -> float:
    return math.sqrt(4 * area_mm2 / (math.pi * _FILL))


def _derived_resistance(area_mm2: float) -> float:
    # Resistance times area varies little down the class 5 column, by stranding. The greater of the two
    # neighbouring rows serves a size between them, so that no drop comes out too small.
    printed = table("iec_60228_conductors")
    areas = printed.array("area_mm2")
    products = areas * printed.array("class5_plain") / 1000
    above = int(np.searchsorted(areas, area_mm2))
    return float(products[max(above - 1, 0) : above + 1].max()) / area_mm2


def _derived_source(what: str) -> Source:
    document = "derived from IEC 60228 class 5: resistance × area of the worse neighbouring row, over the area"
    return Source(f"Resistance of {what}", document, "none", "derived")


def _metric(name: str) -> Conductor:
    if not re.fullmatch(r"\d+(\.\d+)?", name) or not 0.05 <= float(name) <= 300:
        raise TableError(f"no conductor of '{name}' mm²; accepted are numbers from 0.05 to 300")
    area = float(name)
    printed = table("iec_60228_conductors")
    row = printed.row("area_mm2", area)
    if row is None or not isinstance(row["class5_plain"], float):
        source = _derived_source(f"{name} mm²")
        resistance = _derived_resistance(area)
        return Conductor("mm2", name, area, resistance, _strand_diameter_mm(area), None, source, source, True)
    resistance = row["class5_plain"] / 1000
    source = printed.citation
    return Conductor("mm2", name, area, resistance, _strand_diameter_mm(area), None, source, source, False)


def _gauge(name: str) -> Conductor:
    area = awg_area_mm2(name)
    gauge = Source("AWG diameter", "ASTM B258 formula d = 0.127 mm · 92^((36 - n)/39)", "none", "derived")
    printed = table("ac43_13_1b_t11_9")
    row = printed.row("awg", name)
    if row is None or not isinstance(row["ohm_per_1000ft"], float):
        resistance, source, derived = _derived_resistance(area), _derived_source(f"AWG {name}"), True
    else:
        resistance, source, derived = row["ohm_per_1000ft"] / 304.8, printed.citation, False
    return Conductor("AWG", name, area, resistance, _strand_diameter_mm(area), None, source, gauge, derived)


def _sae_row(name: str) -> tuple[float, Table]:
    for table_name in _SAE_TABLES:
        printed = table(table_name)
        row = printed.row("size", name)
        if row is not None and isinstance(row["cmil"], float):
            return row["cmil"], printed
    raise TableError(f"no SAE size '{name}'; accepted are {', '.join(standard_sizes('SAE'))}")


def _sae(name: str) -> Conductor:
    cmil, printed = _sae_row(name)
    area = cmil * MM2_PER_CMIL
    source = _derived_source(f"SAE {name}")
    diameter = _strand_diameter_mm(area)
    return Conductor("SAE", name, area, _derived_resistance(area), diameter, None, source, printed.citation, True)


def _japanese(name: str) -> Conductor:
    printed = table("jis_c_3406_av")
    row = printed.row("nominal", name)
    if row is None:
        raise TableError(f"no AV size '{name}'; accepted are {', '.join(printed.texts('nominal'))}")
    area, milliohm, diameter, outside = (
        float(str(row[heading])) for heading in ("area_mm2", "mohm_per_m", "conductor_mm", "outside_mm")
    )
    source = printed.citation
    return Conductor("AV", name, area, milliohm / 1000, diameter, outside, source, source, False)


@cache
def conductor(system: str, name: str) -> Conductor:
    """The conductor of a size system and name, such as ("mm2", "2.5") or ("AWG", "1/0").

    Raises TableError for an unknown system or size. A metric size that IEC 60228 does not list, and
    every SAE size, has a derived resistance and says so.
    """
    makers = {"mm2": _metric, "AWG": _gauge, "SAE": _sae, "AV": _japanese}
    if system not in makers:
        raise TableError(f"no size system '{system}'; accepted are {', '.join(makers)}")
    return makers[system](name)


@cache
def standard_sizes(system: str) -> tuple[str, ...]:
    """Names of the sizes the trade sells in a system, thinnest first. Raises TableError if unknown."""
    if system == "mm2":
        return _MM2_NAMES
    if system == "AWG":
        return _AWG_NAMES
    if system == "SAE":
        sizes = [(cmil, name) for each in map(table, _SAE_TABLES) for name, cmil in _sizes(each)]
        return tuple(name for _, name in sorted(sizes))
    if system == "AV":
        return table("jis_c_3406_av").texts("nominal")
    raise TableError(f"no size system '{system}'; accepted are {', '.join(SYSTEMS)}")


def _sizes(printed: Table) -> list[tuple[str, float]]:
    return list(zip(printed.texts("size"), printed.array("cmil").tolist(), strict=True))
