"""One crank and one load step against ngspice's transient analysis, a circuit simulator that shares nothing here.

The engine knows no inductance and no time within a condition; the judge does. It must settle where the engine says.
Reference: ngspice (Debian package).
"""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from fuseplan.engine.results import Results
from tests.power.plans import WET_IDLE, condition, deficit

pytestmark = pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice is not installed")

ROTOR_H, CABLE_H = 100e-6, 2e-6
"""Inductance of a starter and of a cable; they shape the rise, not where it settles. Common practice, no source."""


def transient(elements: list[str], asked: dict[str, tuple[str, float]], end_s: float, folder: Path) -> dict[str, float]:
    """Node voltages at given times of a transient run from rest."""
    lines = ["fuseplan judge", ".options reltol=1e-6 abstol=1e-9 vntol=1e-7", *elements,
             f".tran {end_s / 4000!r} {end_s!r} 0 {end_s / 2000!r}",
             ".options itl1=500 itl6=200"]
    lines += [f".meas tran {name} FIND v({node}) AT={at!r}" for name, (node, at) in asked.items()]
    path = folder / "step.cir"
    path.write_text("\n".join([*lines, ".end"]) + "\n")
    done = subprocess.run(["ngspice", "-b", str(path)], capture_output=True, text=True, timeout=120, check=False)
    found = {name: float(match[1]) for name in asked
             if (match := re.search(rf"^{name}\s*=\s*(\S+)", done.stdout, re.MULTILINE))}
    assert set(found) == set(asked), done.stdout[-2000:] + done.stderr[-2000:]
    return found


def lumped(results: Results, row: int, keep: int, average: bool) -> list[tuple[str, float, float, float]]:
    """Every consumer but one as (earth, A, V, exponent) at the voltage across it; earth "m" is the engine, else "0".

    The drop in a consumer's own wires is folded into its law by shifting the voltage by it, so that the judge needs
    no wires for what is not at stake.
    """
    solution = results.balance.average if average else results.solution
    network, consumers = results.network, results.network.consumers
    across = solution.across_v[row]
    engine = network.earth_node["engine"]
    return [("m" if engine in (node := int(consumers.return_node[number]), int(network.returns.parent[node])) else "0",
             float(solution.consumer_a[row, number]), float(across[number]), float(consumers.exponent[number]))
            for number in range(consumers.count)
            if number not in (keep, network.alternator) and solution.consumer_a[row, number] > 0]


def law(name: str, minus: str, amps: float, volts: float, exponent: float, drop: float) -> str:
    """A consumer between the post and its earth, with the drop in its wires taken off first."""
    least = 0.5 if exponent <= 0 else 0.01
    return f"B{name} post {minus} I={amps!r}*pow(max((v(post,{minus})-({drop!r}))/{volts!r},{least}),{exponent!r})"


def test_crank(tmp_path: Path) -> None:
    """Locked for 0.2 s, then turning: the plateau while locked is the dip, the one after is the cranking voltage."""
    results = deficit()
    power, network = results.power, results.network
    cranking, dip = power.cranking, power.dip
    assert dip is not None
    index = cranking.condition
    supply, back = (sum(piece.resistance_ohm for piece in cranking.pieces if piece.side == side)
                    for side in ("supply", "return"))
    starter = next(number for number, owner in enumerate(network.consumers.owner) if owner[1] == "starter")
    elements = [f"VB e 0 {float(results.source.open_circuit_v[index])!r}",
                f"RB e post {float(results.source.internal_ohm[index])!r}",
                f"RS post s1 {supply!r}", f"LC s1 s2 {CABLE_H!r}", f"LM s2 s3 {ROTOR_H!r}",
                # 180 A at 10 V turning, three times that locked, as the plan enters them.
                f"R2 s3 k {10 / 540!r}", "S2 k m t 0 still", f"RE m 0 {back!r}",
                # Turning it draws one current; a damper keeps the inductances from ringing against it.
                "RD s3 d 0.05", "CD d m 10m",
                "Bturn s3 m I=180*(1-v(t,0))*min(max(v(s3,m)/0.5,0),1)",
                "VT t 0 PULSE(1 0 0.2 1m 1m 10 20)", ".model still sw vt=0.5 vh=0 ron=1u roff=1e6"]
    for number, (earth, amps, volts, exponent) in enumerate(lumped(results, index, starter, False)):
        lifted = float(cranking.return_drop_v[0]) if earth == "m" else 0.0
        elements.append(law(str(number), earth, amps, volts, exponent,
                            float(results.solution.root_v[index]) - lifted - volts))
    found = transient(elements, {"locked": ("post", 0.19), "turning": ("post", 0.5), "strap": ("m", 0.5)}, 0.5,
                      tmp_path)
    assert found["turning"] == pytest.approx(float(cranking.battery_v[0]), abs=2e-3)
    assert found["strap"] == pytest.approx(float(cranking.return_drop_v[0]), abs=2e-3)
    assert found["locked"] == pytest.approx(dip.battery_v, abs=0.02)


def test_load_step(tmp_path: Path) -> None:
    """Cruising by day with everything held, then idling on a wet night: the post falls from the regulated to the
    battery's voltage less what its resistance takes."""
    results = deficit()
    day, night = condition(results, "cruise_day"), condition(results, WET_IDLE)
    source, average = results.source, results.balance.average
    before, after = float(average.root_v[day]), float(average.root_v[night])
    elements = [f"VB e 0 {float(source.open_circuit_v[night])!r}",
                # A battery that takes no charge: it gives through its resistance and blocks the other way.
                "S1 e b e b gives", ".model gives sw vt=0 vh=0 ron=1u roff=1e6",
                f"RB b post {float(source.internal_ohm[night])!r}", "CP post 0 20m",
                # The regulator holds its own terminal as long as the machine can: a stiff source with a ceiling.
                f"BA 0 post I=min({before!r}-v(post) > 0 ? ({before!r}-v(post))*1e4 : 0, "
                f"time<0.5 ? {float(source.available_a[day])!r} : {float(source.available_a[night])!r})"]
    for name, row, when in (("d", day, "time<0.5"), ("n", night, "time>=0.5")):
        post = float(average.root_v[row])
        for number, (_, amps, volts, exponent) in enumerate(lumped(results, row, -1, True)):
            current = law(f"{name}{number}", "0", amps, volts, exponent, post - volts)
            head, body = current.split("I=")
            elements.append(f"{head}I=({when} ? {body} : 0)")
    found = transient(elements, {"held": ("post", 0.49), "drained": ("post", 1.49)}, 1.5, tmp_path)
    assert found["held"] == pytest.approx(before, abs=5e-3)
    assert found["drained"] == pytest.approx(after, abs=5e-3)
