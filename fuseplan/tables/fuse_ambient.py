"""What a blade fuse may carry at a temperature: the printed table and a factor derived from it.

Between two printed temperatures of the table the hotter one counts. The printed currents are load limits already, with
a margin inside; ``ambient_k`` is what goes with a separate continuous-load share.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from fuseplan.tables.load import Cited, Floats, table

_FRACTIONS = "littelfuse_287_2022_atof_ambient_fractions"


def _next_hotter(temperatures: Floats, values: Floats, ambient_c: ArrayLike) -> Floats:
    steps = np.append(values, np.nan)
    return np.asarray(steps[np.searchsorted(temperatures, np.asarray(ambient_c, dtype=float), side="left")])


def ambient_fractions() -> Cited[tuple[Floats, Floats]]:
    """Temperatures in °C and the allowed share of the rating at each, both of shape (rows,)."""
    curve = table(_FRACTIONS)
    return Cited((curve.array("ambient_c"), curve.array("fraction")), curve.citation)


def ambient_k(ambient_c: ArrayLike, reference_c: float) -> Floats:
    """Ambient factor that is 1 at the ambient a load share is stated at, to be multiplied by that share.

    The shares over that at the reference, on a straight line between the rows, at most 1: so the margin inside the
    table is not counted twice. NaN above 125 °C, the curve's end.
    """
    temperatures, fractions = ambient_fractions().value
    share = np.interp(np.asarray(ambient_c, dtype=float), temperatures, fractions, right=np.nan)
    return np.asarray(np.minimum(share / np.interp(reference_c, temperatures, fractions), 1.0))


def hottest_c() -> float:
    """The hottest ambient the curve goes to, in °C."""
    return float(ambient_fractions().value[0][-1])


def allowed_load_a(kind: str, rating_a: float, ambient_c: float) -> Cited[float] | None:
    """Printed allowed load in A at an ambient (next hotter column), never above the rating; or None."""
    if kind == "blade":
        printed = table("littelfuse_287_2022_atof_ambient")
        row = printed.row("rating_a", float(rating_a))
        if row is None:
            return None
        cells = {heading: cell for heading, cell in row.items() if heading != "rating_a"}
        temperatures = np.array([_column_c(heading) for heading in cells])
        values = np.array(list(cells.values()), dtype=float)
    elif kind == "maxi" and rating_a == 40:
        printed = table("littelfuse_299_2025_maxi_ambient")
        temperatures, values = printed.array("ambient_c"), printed.array("allowed_a")
    else:
        return None
    allowed = float(_next_hotter(temperatures, values, ambient_c))
    return None if np.isnan(allowed) else Cited(min(allowed, float(rating_a)), printed.citation)


def _column_c(heading: str) -> float:
    return float(heading.removeprefix("at_").removesuffix("_c").replace("minus_", "-"))
