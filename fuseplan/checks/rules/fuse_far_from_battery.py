"""Too long a length of wire runs unprotected from the battery to the first fuse.

No road-car rule in millimetres is published; the rule for boats is used instead: 7 inches, or 40 inches where the
wire lies in a sheath or enclosure all the way.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.rule import Finding, Rule
from fuseplan.checks.subjects import fuse_path, fuse_subject
from fuseplan.engine.at_limit import at_most
from fuseplan.engine.compiled_plan import FuseRow
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_fuses
from fuseplan.engine.results import Results
from fuseplan.engine.unfused import ENCLOSED_M, LENGTH_SOURCE, OPEN_M
from fuseplan.plan.feed_way import way_to
from fuseplan.quantities import writing


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    for index, distance in of_fuses(results.network, _too_far, "fuse distance").items():
        row = results.network.fuses[index]
        covered = row.fuse.cover is not None
        yield rule.finding(
            results, fuse_subject(row),
            f"{writing.burden(distance, 'm')} of {'covered' if covered else 'uncovered'} wire before this fuse; "
            f"the boat rule allows {writing.limit(OPEN_M, 'm')}, or {writing.limit(ENCLOSED_M, 'm')} with its cover "
            "stated", figure=distance, limit=ENCLOSED_M if covered else OPEN_M, unit="m",
            fix=f"move the fuse to {_start(results, row)}, or cover the wire all the way and state its cover",
            fields=(fuse_path(row, "distance"), fuse_path(row, "cover")))


def _start(results: Results, row: FuseRow) -> str:
    """Where the wire before a fuse starts: at the battery, or at the bus that it comes from."""
    (kind, name), plan = row.owner, results.plan
    source = plan.circuit[name].feed if kind == "circuit" else plan.feed[name].upstream if kind == "feed" else None
    return "where its wire starts" if len(list(way_to(plan, source))) > 1 else "the battery end"


def _too_far(network: Network, device: int) -> float | None:
    """Length of wire before a device where that is too long [m]; None where it is not, or not stated."""
    fuse = network.fuses[device].fuse
    if fuse.distance is None or at_most(fuse.distance, OPEN_M if fuse.cover is None else ENCLOSED_M):
        return None
    return float(fuse.distance)


RULE = Rule(
    consequence="burns",
    title="Fuse far from the battery",
    source=LENGTH_SOURCE,
    caution="A wire that chafes through before the first fuse carries the battery's full short-circuit current: sleeve "
            "it, clip it, keep it short.",
    fix="move the fuse to where its wire starts, or cover the wire all the way and state its cover",
    example="fails: 0.6 m of uncovered wire before the fuse; passes: 0.15 m",
    find=find,
)
