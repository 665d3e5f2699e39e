"""American wire gauge arithmetic (ASTM B258)."""

from __future__ import annotations

import math
import re

from fuseplan.errors import TableError

MM2_PER_CMIL = math.pi / 4 * 0.0254**2
"""One circular mil, the area of a circle one thousandth of an inch across, in mm²."""


def awg_number(name: str) -> int:
    """Gauge number of a name: "14" is 14, "1/0" is 0, "4/0" is -3. Raises TableError."""
    if re.fullmatch(r"[1-4]/0", name):
        return 1 - int(name[0])
    if re.fullmatch(r"\d{1,2}", name) and 0 <= int(name) <= 40:
        return int(name)
    raise TableError(f"no wire gauge 'AWG {name}'; accepted are 40 to 0, 1/0, 2/0, 3/0 and 4/0")


def awg_diameter_mm(name: str) -> float:
    """Diameter in mm of the solid wire: d = 0.127 mm · 92^((36 - n)/39) (ASTM B258)."""
    return float(0.127 * 92 ** ((36 - awg_number(name)) / 39))


def awg_area_mm2(name: str) -> float:
    """Area in mm² of the solid wire of that diameter, which a stranded wire of the gauge equals."""
    return math.pi / 4 * awg_diameter_mm(name) ** 2
