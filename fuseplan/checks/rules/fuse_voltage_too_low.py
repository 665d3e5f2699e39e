"""The fuse's voltage rating is below the system voltage: the fuse may not interrupt the arc.

Of a type without a voltage on file it is not known, where the system is above the lowest of the others.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.protected import unjudged
from fuseplan.checks.rule import Finding, Rule, Unjudged
from fuseplan.checks.subjects import fuse_path, fuse_subject
from fuseplan.engine.at_limit import falls_short
from fuseplan.engine.results import Results
from fuseplan.quantities import writing
from fuseplan.tables import fuses as fuse_tables
from fuseplan.tables.fuses import kind_words


def find(rule: Rule, results: Results) -> Iterator[Finding | Unjudged]:
    highest = max(float(results.source.highest_v) if results.source.alternator_known else 0.0,
                  float(results.source.open_circuit_v[0]), results.network.system_v)
    least = min(found.value for kind in fuse_tables.KINDS if (found := fuse_tables.voltage_rating_v(kind)))
    for index, row in enumerate(results.network.fuses) if falls_short(least, highest) else ():
        found = fuse_tables.voltage_rating_v(row.fuse.kind)
        if found is None:
            yield from unjudged(rule, results, index, f"the voltage a {kind_words(row.fuse.kind)} is rated for, where "
                                                      f"the system reaches {writing.burden(highest, 'V')}")
        elif falls_short(found.value, highest):
            yield rule.finding(
                results, fuse_subject(row),
                f"the system voltage reaches {writing.burden(highest, 'V')}, {kind_words(row.fuse.kind)}s are rated "
                f"for {writing.stated(found.value, 'V')}", figure=highest,
                limit=found.value, unit="V", source=found.source.line(), fields=(fuse_path(row, "kind"),))


RULE = Rule(
    consequence="burns",
    title="Fuse voltage rating too low",
    source="ISO 8820-3: blade fuses rated 32 V or 58 V",
    caution="Above its voltage rating a fuse may go on arcing after it has blown.",
    fix="a fuse and holder of the next voltage rating; a 58 V holder with a 32 V fuse is a 32 V assembly",
    example="fails: a 32 V blade fuse in a 48 V system; passes: in a 24 V system",
    find=find,
)
