"""The assessment as pandas frames: what lists, CSV files and users of the package work with."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pandas as pd

    from fuseplan.checks.assessment import Assessment


def circuits_frame(assessment: Assessment) -> pd.DataFrame:
    """One row a circuit: identity, currents in A, fuse, drop in V, relay, verdict."""
    import pandas as pd

    rows = []
    for view in assessment.circuits:
        fuse, drop, figures = view.fuse, view.drop, view.design_a is not None
        needed, why = view.relay_need if figures else (None, None)
        rows.append({
            "id": view.id, "name": view.name, "feed": view.circuit.feed, "design_a": view.design_a,
            "demand_5s_a": view.demand_a(0) if figures else None,
            "demand_5min_a": view.demand_a(1) if figures else None,
            "demand_continuous_a": view.demand_a(2) if figures else None,
            "fuse_kind": fuse.kind if fuse else None, "fuse_a": fuse.rating_a if fuse else None,
            "fuse_entered": fuse.entered if fuse else None, "fuse_colour": fuse.colour if fuse else None,
            "window_low_a": fuse.low_a if fuse else None, "window_high_a": fuse.high_a if fuse else None,
            "wire": view.wire_words, "drop_v": drop.volts if drop else None,
            "drop_limit_v": drop.limit_v if drop else None, "drop_condition": drop.condition if drop else None,
            "relay_needed": needed, "relay_why": why, "earth": view.circuit.earth, "verdict": view.verdict,
            "missing": "; ".join(view.missing), "unknown": "; ".join(view.unknown),
            "limits": assessment.limit_set.name,
        })
    return pd.DataFrame(rows)


def segments_frame(assessment: Assessment) -> pd.DataFrame:
    """One row a stretch of wire of a circuit, feed, earth or the alternator cable."""
    import pandas as pd

    from fuseplan.checks.views import segment_views

    rows = []
    for owner in assessment.segments_of:
        for view in segment_views(assessment, owner):
            rows.append({
                "owner_kind": owner[0], "owner": owner[1] or owner[0], "place": view.place, "side": view.side,
                "size": None if view.segment.size is None else str(view.segment.size), "size_mm2": view.size_mm2,
                "length_m": view.length_m, "insulation": view.insulation, "colour": view.segment.colour,
                "origin": view.segment.origin, "resistance_ohm": view.resistance_ohm, "current_a": view.current_a,
                "ampacity_a": view.ampacity_a, "ambient_c": view.ambient_c, "temperature_c": view.temperature_c,
                "conductors": view.conductors, "binding": view.binding,
            })
    return pd.DataFrame(rows)


def findings_frame(assessment: Assessment) -> pd.DataFrame:
    """One row a finding."""
    import pandas as pd

    columns = ("level", "check", "subject_kind", "subject", "message", "figure", "limit", "unit", "limits", "source",
               "fix", "caution", "measure")
    rows = [{key: value for key, value in asdict(finding).items() if key in columns} for finding in assessment.findings]
    return pd.DataFrame(rows, columns=list(columns))
