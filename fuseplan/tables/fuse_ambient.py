"""What a blade fuse may carry at a temperature: a factor derived from a printed table.

The printed currents are load limits already, with a margin inside; ``ambient_k`` is what goes with a separate
continuous-load share.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from fuseplan.array_types import Floats
from fuseplan.tables.load import Cited, table

_FRACTIONS = "littelfuse_287_2022_atof_ambient_fractions"


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
