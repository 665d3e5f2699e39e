"""The working of a figure as text: symbols, numbers, result, unit, and at the foot the numbered sources."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fuseplan.papers.harmless import shown
from fuseplan.papers.paragraphs import Paint, paragraph, unpainted
from fuseplan.quantities import writing

if TYPE_CHECKING:
    from fuseplan.checks.explain import Working
    from fuseplan.formulas.working import Step

NOT_READ = "from memory: check the datasheet before you rely on it"


def _result(step: Step) -> str:
    """What a step arrives at, with its unit, six figures."""
    text, unit = shown(step.result) if isinstance(step.result, str) else writing.worked(step.result), step.unit
    return text if unit == "-" or not unit else f"{text} {'Ω' + unit[3:] if unit.startswith('ohm') else unit}"


def working_text(working: Working, room: int, paint: Paint = unpainted) -> str:
    """A whole working."""
    figure = working.figure
    lines = [paint(f"{shown(figure.address)} = {shown(figure.text)}", "heading")]
    lines += paragraph(f"{shown(figure.whole_words)} [{working.limit_set}]", room)
    if figure.from_network:
        lines += paragraph("It rests on the solved network, in which all voltages and currents are found together: "
                           "each stands after the law that ties it to the others.", room)
    lines.append("")
    digits = len(str(len(working.steps)))
    for number, step in enumerate(working.steps, 1):
        lines += _step(step, working.source_number(step), f"{number:>{digits}}  ", room)
    if working.sources:
        lines += ["", paint("Sources", "heading")]
    for number, source in enumerate(working.sources, 1):
        lines += paragraph(shown(source), room, f"  [{number}] ")
    if working.from_memory:
        lines += ["", *paragraph(f"! A step rests on a figure {NOT_READ}.", room)]
    return "\n".join(lines).rstrip()


def _step(step: Step, source: int, first: str, room: int) -> list[str]:
    result, rest = _result(step), " " * len(first)
    if step.numbers:
        line = f"{step.equation} = {step.numbers} = {result}"
        return paragraph(f"{line}  [{source}]", room, first, rest + "    ")
    return paragraph(f"{step.symbol} = {result}  {shown(step.equation)} [{source}]", room, first, rest + "    ")
