"""Elements as an ngspice netlist: battery, alternator in one of its ways of working, resistors, loads."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterable
from pathlib import Path

from tests.judges.netlist import NEGATIVE, ROOT, Condition

REGULATED, HELPED, LIMITED, FLOATING = range(4)
COLLAPSING = -2.0
"""Stands for the power of a load of constant power that lets go when it gets next to nothing: below 2 % of its voltage
its current falls to 0, so that it never draws what a wire cannot bring."""


def solve(conditions: Iterable[Condition], folder: Path) -> list[dict[str, float]]:
    """Node voltages of each condition, by node name.

    The alternator first holds its terminal; where the post then has less than the battery at rest, the battery gives
    too; where the alternator would have to give more than it has, it gives what it has and the battery the rest; where
    that would charge the battery, the battery takes nothing and the post floats.
    """
    conditions = list(conditions)
    way = [REGULATED if each.available_a > 0 and each.alternator else LIMITED for each in conditions]
    answer: list[dict[str, float]] = [{} for _ in conditions]
    ask = list(range(len(conditions)))
    while ask:
        found = _run([(conditions[index], way[index], index) for index in ask], folder)
        again = []
        for index in ask:
            answer[index] = found[index]
            if way[index] == REGULATED and found[index][ROOT] < conditions[index].open_v - 1e-9:
                way[index] = HELPED
                again.append(index)
            elif way[index] in (REGULATED, HELPED) and -found[index]["#machine"] > conditions[index].available_a:
                way[index] = LIMITED
                again.append(index)
            elif way[index] == LIMITED and found[index][ROOT] > conditions[index].open_v + 1e-9:
                way[index] = FLOATING
                again.append(index)
        ask = again
    return answer


def _run(asked: list[tuple[Condition, int, int]], folder: Path) -> dict[int, dict[str, float]]:
    lines = ["fuseplan judge", ".options reltol=1e-7 abstol=1e-9 vntol=1e-8 gmin=1e-15 itl1=500 itl6=200"]
    names: dict[str, tuple[int, str]] = {}
    for condition, way, index in asked:
        lines += _elements(condition, way, index, names)
    lines += [".control", "set numdgt=12", "set width=200", "op"]
    for name in names:
        lines.append(f"print {name}")
    lines += [".endc", ".end"]
    path = folder / "car.cir"
    path.write_text("\n".join(lines) + "\n")
    done = subprocess.run(["ngspice", "-b", str(path)], capture_output=True, text=True, timeout=120, check=False)
    out: dict[int, dict[str, float]] = {index: {NEGATIVE: 0.0} for _, _, index in asked}
    seen = 0
    for match in re.finditer(r"^(\S+) = (\S+)$", done.stdout, re.MULTILINE):
        if match[1] in names:
            index, node = names[match[1]]
            out[index][node] = float(match[2])
            seen += 1
    assert seen == len(names), f"ngspice answered {seen} of {len(names)}:\n{done.stdout[-1500:]}{done.stderr[-1500:]}"
    return out


def _elements(condition: Condition, way: int, index: int, names: dict[str, tuple[int, str]]) -> list[str]:
    nodes: dict[str, str] = {NEGATIVE: "0"}

    def node(name: str) -> str:
        if name not in nodes:
            nodes[name] = f"n{index}_{len(nodes)}"
            names[f"v({nodes[name]})"] = (index, name)
        return nodes[name]

    lines = []
    for number, (a, b, ohm) in enumerate(condition.resistors):
        lines.append(f"R{index}_{number} {node(a)} {node(b)} {ohm!r}")
    for number, (a, b, amps, volts, power) in enumerate(condition.loads):
        plus, minus = node(a), node(b)
        ratio = f"max(v({plus},{minus}),0.01)/{volts!r}"
        if power == 1.0:
            if amps > 0:
                lines.append(f"RL{index}_{number} {plus} {minus} {volts / amps!r}")
            continue
        laws = {0.0: f"{amps!r}", -1.0: f"{amps!r}/max({ratio},0.5)",
                COLLAPSING: f"{amps!r}/max({ratio},0.5)*min(1,50*({ratio}-0.01/{volts!r}))"}
        lines.append(f"B{index}_{number} {plus} {minus} I={laws.get(power, f'{amps!r}*pow({ratio},{power!r})')}")
    if way in (HELPED, LIMITED):
        lines += [f"VB{index} e{index} 0 {condition.open_v!r}",
                  f"RB{index} e{index} {node(ROOT)} {condition.inner_ohm!r}"]
    if condition.alternator is not None and condition.available_a > 0:
        plus, minus = (node(each) for each in condition.alternator)
        if way in (REGULATED, HELPED):
            lines.append(f"VM{index} {plus} {minus} {condition.regulator_v!r}")
            names[f"i(vm{index})"] = (index, "#machine")
        else:
            lines.append(f"IM{index} {minus} {plus} {condition.available_a!r}")
    return lines
