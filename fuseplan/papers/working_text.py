"""The working of a figure as text: symbols, numbers, result, unit, and at the foot the numbered sources."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from fuseplan.papers.harmless import shown
from fuseplan.papers.paragraphs import Paint, paragraph, unpainted
from fuseplan.quantities import writing

if TYPE_CHECKING:
    from fuseplan.checks.explain import Figure, Working
    from fuseplan.formulas.working import Step

NOT_READ = "from memory: check the datasheet before you rely on it"


def answer(figure: Figure) -> str:
    """A figure as it is written everywhere."""
    if figure.value is None:
        return "unknown"
    if isinstance(figure.value, str):
        return f"{shown(figure.value)} {writing.unit_words(figure.unit)}".rstrip()
    return figure.kind(figure.value)


def _result(step: Step) -> str:
    """What a step arrives at, with its unit, six figures."""
    text, unit = shown(step.result) if isinstance(step.result, str) else writing.worked(step.result), step.unit
    return text if unit == "-" or not unit else f"{text} {'Ω' + unit[3:] if unit.startswith('ohm') else unit}"


def working_text(working: Working, room: int, paint: Paint = unpainted) -> str:
    """A whole working."""
    figure = working.figure
    lines = [paint(f"{shown(figure.address)} = {answer(figure)}", "heading")]
    lines += paragraph(f"{shown(figure.words)} [{working.limit_set}]", room)
    if figure.solved:
        lines += paragraph("It rests on the solved network: the chain below checks that the solution closes, to a "
                           "tenth of "
                           "a thousandth.", room)
    lines.append("")
    digits = len(str(len(working.steps)))
    for number, step in enumerate(working.steps, 1):
        lines += _step(step, working.source_number(step), f"{number:>{digits}}  ", room)
    lines += ["", paint("Sources", "heading")]
    for number, source in enumerate(working.sources, 1):
        lines += paragraph(shown(source), room, f"  [{number}] ")
    if working.from_memory:
        lines += ["", *paragraph(f"! A step rests on a figure {NOT_READ}.", room)]
    return "\n".join(lines)


def _step(step: Step, source: int, first: str, room: int) -> list[str]:
    result, rest = _result(step), " " * len(first)
    if step.numbers:
        line = f"{step.equation} = {step.numbers} = {result}"
        return paragraph(f"{line}  [{source}]", room, first, rest + "    ")
    return paragraph(f"{step.symbol} = {result}  {shown(step.equation)} [{source}]", room, first, rest + "    ")


def figures_text(found: Mapping[str, Figure], room: int, begins: str = "") -> str:
    """What can be explained, one line a figure."""
    kept = {address: figure for address, figure in found.items() if address.startswith(begins)}
    wide = min(max((len(shown(address)) for address in kept), default=0), room // 2)
    lines = []
    for address, figure in kept.items():
        lines += paragraph(f"{answer(figure)}, {shown(figure.words)}", room,
                           f"{shown(address):<{wide}}  ")
    return "\n".join(lines)
