"""The assessment as pandas frames: what lists, CSV files and users of the package work with.

A column is named by the address of its figure within the row's part: ``fuse.range_a.low``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, fields
from typing import TYPE_CHECKING, Any

from fuseplan.checks.not_said import NotSaid
from fuseplan.results.address import FigureSpot, find, root
from fuseplan.results.part import Part
from fuseplan.results.segment import coil_segments, segment_results

if TYPE_CHECKING:
    import pandas as pd

    from fuseplan.checks.assessment import Assessment

CIRCUIT_COLUMNS = (
    "id", "name", "feed", "load_current_a.5s", "load_current_a.5min", "load_current_a.continuous", "fuse.kind",
    "fuse.rating_a", "fuse.entered", "fuse.colour", "fuse.range_a.low", "fuse.range_a.high", "wire", "drop.volts",
    "drop.judged_v", "drop.limit_v", "drop.condition", "relay.needed", "relay.why", "earth", "verdict", "missing",
    "unknown", "not_checked", "role", "role_proposed", "not_said",
)
SEGMENT_COLUMNS = (
    "place", "side", "size", "size_mm2", "length_m", "insulation", "colour", "origin", "resistance_ohm", "current_a",
    "ampacity_a", "ambient_c", "temperature_c", "conductors", "binding",
)
FINDING_COLUMNS = ("level", "check", "subject_kind", "subject", "message", "figure", "limit", "unit", "limits",
                   "source", "fix", "caution", "measure")


def rows(parts: Iterable[Part], columns: Iterable[str]) -> list[dict[str, Any]]:
    """One row a part: what it declares at each address; None where the part it would be in does not exist."""
    return [{column: _cell(part, column) for column in columns} for part in parts]


def _cell(part: Part, column: str) -> Any:
    spot = find(root(part), column)
    value: Any = spot.value if isinstance(spot, FigureSpot) else None
    return "; ".join(value) if isinstance(value, tuple) else value


def circuits_frame(assessment: Assessment) -> pd.DataFrame:
    """One row a circuit: identity, currents in A, fuse, drop in V, relay, verdict."""
    import pandas as pd

    return pd.DataFrame([row | {"limits": assessment.limit_set.name}
                         for row in rows(assessment.circuits, CIRCUIT_COLUMNS)])


def segments_frame(assessment: Assessment) -> pd.DataFrame:
    """One row a length of wire of a circuit, feed, earth or the alternator cable, a relay's coil wires among them."""
    import pandas as pd

    return pd.DataFrame([{"owner_kind": owner[0], "owner": owner[1] or owner[0], **row}
                         for owner in dict.fromkeys((*assessment.segments_of, *assessment.coil_segments_of))
                         for row in rows((*segment_results(assessment, owner), *coil_segments(assessment, owner)),
                                         SEGMENT_COLUMNS)])


def not_said_frame(assessment: Assessment) -> pd.DataFrame:
    """One row for each thing the plan does not say."""
    import pandas as pd

    return pd.DataFrame([asdict(each) for each in assessment.not_said],
                        columns=[each.name for each in fields(NotSaid)])


def findings_frame(assessment: Assessment) -> pd.DataFrame:
    """One row a finding."""
    import pandas as pd

    found = [{key: value for key, value in asdict(finding).items() if key in FINDING_COLUMNS}
             for finding in assessment.findings]
    return pd.DataFrame(found, columns=list(FINDING_COLUMNS))
