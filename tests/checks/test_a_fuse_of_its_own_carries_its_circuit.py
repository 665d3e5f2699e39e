"""A fuse of its own that is named for a circuit behind the fuse of its feed carries what the circuit does, or comes
with the wires it needs: fitted as told, neither is too small."""

from __future__ import annotations

import re

import pytest

from fuseplan.checks.assessment import assess
from fuseplan.engine.stock import ladder
from fuseplan.plan.model import Plan
from tests.checks.test_a_thin_branch_gets_a_fuse_of_its_own import plan

FAULTS = {"fuse-too-small", "no-fuse-fits", "fuse-exceeds-wire", "thinner-wire-unprotected", "wire-overloaded"}
SIZES = ("0.75", "1", "1.5", "2.5", "4")


def beside_a_fan(size: str, back: str, lamp: int, own: str = "") -> Plan:
    """A lamp beside a fan, 44 A together behind the 60 A fuse of their feed."""
    return plan(f"{size} mm2", f"{lamp} A", ', rating = "60 A"', own, back=f"{back} mm2", fan=f"{44 - lamp} A",
                fan_fuse="40 A")


@pytest.mark.parametrize("lamp", [3, 7, 10, 13, 15, 17, 20, 22])
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("back", SIZES[1:4])
def test_the_fuse_named_carries_the_circuit(size: str, back: str, lamp: int) -> None:
    for finding in assess(beside_a_fan(size, back, lamp)).findings:
        if finding.subject != "lamp" or finding.check not in FAULTS or "fuse of its own" not in finding.fix:
            continue
        most, told = re.search(r"of its own of at most ([\d.]+) A", finding.fix), \
            re.search(r"then a fuse of its own of ([\d.]+) A", finding.fix)
        sizes = [size, back]
        if most is not None:
            rating = max(each for each in ladder("blade") if each <= float(most[1]))
        else:
            assert told is not None, finding.fix
            rating = float(told[1])
            first, *rest = re.findall(r"([\d.]+) mm² in place of", finding.fix)
            both = "earth wire" in finding.fix and "the wire of" in finding.fix
            sizes = [first, rest[0] if rest else first] if both else \
                [size, first] if "earth wire" in finding.fix else [first, back]
        after = assess(beside_a_fan(*sizes, lamp, f'fuse = {{ kind = "blade", rating = "{rating:g} A" }}'))
        assert not [(each.check, each.message) for each in after.findings
                    if each.subject == "lamp" and each.check in FAULTS and not each.measure], finding.fix
