"""From one cell back to what it rests on: the steps of its working, in the order in which they are read."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

from fuseplan.errors import FigureError
from fuseplan.formulas.registry import describe, substitute
from fuseplan.formulas.working import Step
from fuseplan.quantities import writing
from fuseplan.quantities.listing import first_few
from fuseplan.trace.arrays import is_followed, node_of
from fuseplan.trace.nodes import (
    Applied,
    Decided,
    Folded,
    Gathered,
    Leaf,
    Moved,
    Node,
    PerPart,
    Plain,
    Ref,
    Solved,
    text_of,
)

LISTED = 6
"""So many of the figures chosen from are listed."""
SAME = 1e-9
"""Relative difference that is noise of floating point."""
NOT_SO = "how the figure is made up"


class Shown(NamedTuple):
    """A figure as it stands in the steps so far."""

    value: float
    symbol: str = ""
    unit: str = ""


def steps_of(value: Any, symbol: str = "", unit: str = "") -> list[Step]:
    """The working of one figure of a recorded run; symbol and unit are for a figure that has none of its own.

    Raises:
        FigureError: The figure was not recorded.
    """
    if not is_followed(value):
        raise FigureError(f"{value!r} was worked out without recording: it has no working")
    walk = _Walk(symbol, unit)
    node = node_of(value)
    shown = walk.visit(node, 0)
    if not walk.steps or walk.steps[-1].result != shown.value:
        walk.keep(Step(shown.symbol or symbol, "as above", "", shown.value, shown.unit or unit, NOT_SO), again=True)
    return walk.steps


class _Walk:
    def __init__(self, symbol: str, unit: str) -> None:
        self.steps: list[Step] = []
        self._symbol, self._unit = symbol, unit
        self._seen: dict[tuple[Node, int, bool], Shown] = {}
        self._worked: dict[tuple[PerPart, int], Node] = {}
        self._inside = False
        self._kept: set[tuple[Any, ...]] = set()

    def keep(self, step: Step, again: bool = False) -> Shown:
        key = (step.symbol, step.equation, step.numbers, step.result, step.cite)
        if again or key not in self._kept:
            self._kept.add(key)
            self.steps.append(step)
        result = step.result
        return Shown(result if isinstance(result, float) else math.nan, step.symbol, step.unit)

    def visit(self, node: Node, cell: int) -> Shown:
        """Show what a cell rests on, then the cell."""
        followed = self._followed(node, cell)
        if followed is None:
            return Shown(node.at(cell))
        node, cell = followed
        key = (node, cell, self._inside)
        if key not in self._seen:
            self._seen[key] = self._shown(node, cell)
        return self._seen[key]

    def _followed(self, node: Node, cell: int) -> Ref | None:
        """Past all that only moves figures about; None for a plain figure without a word."""
        while True:
            if isinstance(node, Moved):
                source = node.source(cell)
                if source is None:
                    return (node, cell) if node.words else None
                node, cell = source
            elif isinstance(node, Gathered):
                if cell not in node.members:
                    return None
                node, cell = node.members[cell], 0
            elif isinstance(node, PerPart):
                node, cell = self._again(node, cell), 0
            elif isinstance(node, Plain):
                passed = self._passed(node, cell)
                if passed is None:
                    return node, cell
                node, cell = passed
            elif isinstance(node, Folded) and not node.words:
                members = [each for each in node.members(cell) if node.which != "sum" or each[0].at(each[1]) != 0.0]
                if node.which == "sum" and len(members) != 1:
                    return node, cell
                node, cell = _winner(node, cell, members) if node.which != "sum" else members[0]
            else:
                return None if type(node) is Node else (node, cell)

    def _passed(self, node: Plain, cell: int) -> Ref | None:
        """The one figure that plain arithmetic leaves as it was: nothing is added to it, or it is taken once."""
        refs = node.refs(cell)
        figures = [each.at(at) for each, at in refs]
        if node.sign == "abs" and figures[0] == node.at(cell):
            return refs[0]
        if node.sign not in ("+", "-", "·", "/") or len(refs) != 2:
            return None
        neutral = 0.0 if node.sign in "+-" else 1.0
        for one, other in ((0, 1), (1, 0)):
            if figures[other] == neutral and (one == 0 or node.sign in "+·") and self._followed(*refs[other]) is None:
                return refs[one]
        return None

    def _again(self, node: PerPart, cell: int) -> Node:
        if (node, cell) in self._worked:
            return self._worked[node, cell]
        found = node.again(*node.place(cell))
        wanted = node.at(cell)
        if not math.isclose(float(found), wanted, rel_tol=SAME, abs_tol=1e-15) and not (found != found
                                                                                         and wanted != wanted):
            raise FigureError(f"worked out again, {wanted} came out as {float(found)}: a fault of this program")
        return self._worked.setdefault((node, cell), node_of(found))

    def _shown(self, node: Node, cell: int) -> Shown:
        if isinstance(node, Applied):
            return self._formula(node, cell)
        if isinstance(node, Folded):
            return self._sum(node, cell) if node.which == "sum" else self._extreme(node, cell)
        if isinstance(node, (Leaf, Decided)):
            for ref in node.rests_on(cell) if isinstance(node, Decided) else ():
                self.visit(*ref)
            place = node.place(cell)
            return self.keep(Step(node.symbol, text_of(node.words, place), "", node.at(cell), node.unit,
                                  text_of(node.cite, place)))
        if isinstance(node, Solved):
            return self._solved(node, cell)
        if isinstance(node, Plain):
            return self._plain(node, cell)
        if isinstance(node, Moved):
            return self.keep(Step(self._symbol, text_of(node.words, node.place(cell)), "", node.at(cell), self._unit,
                                  "the plan"))
        return Shown(node.at(cell))

    def _formula(self, node: Applied, cell: int) -> Shown:
        entry = describe(node.formula)
        refs = node.refs(cell)
        figures = [(term, self.visit(*refs[term.name]).value if term.name in refs else float(term.default or 0.0))
                   for term in entry.parameters]
        numbers = substitute(entry.right_hand_side, {term.symbol: _bracketed(figure) for term, figure in figures})
        return self.keep(Step(
            entry.result.symbol, entry.equation, numbers, node.at(cell), entry.result.unit, entry.cite,
            tuple((term.symbol, figure, term.unit) for term, figure in figures)))

    def _sum(self, node: Folded, cell: int) -> Shown:
        parts, like, how = [], Shown(0.0, node.symbol), ""
        for ref in node.members(cell):
            value = ref[0].at(ref[1])
            name = _name(node, ref)
            source = self._followed(*ref)
            if value == 0.0:
                if source is not None and isinstance(source[0], Moved):
                    words = text_of(source[0].words, source[0].place(source[1]))
                    self.keep(Step(self._symbol or "I", f"{name} {words}", "", 0.0, self._unit or "A", "the plan"))
                elif source is not None and isinstance(source[0], Leaf | Decided):
                    self.visit(*ref)
                continue
            followed = not node.many or (node.follow is not None and node.follow(*ref[0].place(ref[1])))
            if source is not None and isinstance(source[0], Solved) and not followed:
                like, how = Shown(value, source[0].symbol, source[0].unit), source[0].how
            else:
                like = self.visit(*ref)
            parts.append(f"{_bracketed(value)} ({name})" if name else _bracketed(value))
        words = text_of(node.words, node.place(cell)) or "together"
        cite = "; ".join(dict.fromkeys(each for each in (node.cite, how) if each)) or "definition of a sum"
        return self.keep(Step(like.symbol or self._symbol, f"{words}: {' + '.join(parts) or 'nothing'}", "",
                              node.at(cell), like.unit or self._unit, cite))

    def _extreme(self, node: Folded, cell: int) -> Shown:
        members = [each for each in node.members(cell) if math.isfinite(each[0].at(each[1]))]
        winner = _winner(node, cell, members)
        if not node.many:
            for ref in members:
                self.visit(*ref)
        like = self.visit(*winner)
        value = node.at(cell)
        others = list(dict.fromkeys(writing.worked(each[0].at(each[1])) for each in members))
        words = text_of(node.words, node.place(cell))
        name = _name(node, winner)
        why = f"the {node.which} of {first_few(others, LISTED)}" if len(others) > 1 else ""
        text = f"{words}: {', '.join(each for each in (name, why) if each)}" if name or why else words
        return self.keep(Step(like.symbol or self._symbol, text, "", value, like.unit or self._unit,
                              node.cite or "choice"))

    def _solved(self, node: Solved, cell: int) -> Shown:
        if not self._inside and node.because is not None:
            self._inside = True
            self.visit(node_of(node.because), cell)
            self._inside = False
        return self.keep(Step(node.symbol, text_of(node.words, node.place(cell)), "", node.at(cell), node.unit,
                              node.how))

    def _added(self, node: Plain, cell: int) -> list[Ref]:
        """What plain arithmetic is done with; a sum of sums as one."""
        refs = node.refs(cell)
        if node.sign != "+":
            return refs
        found: list[Ref] = []
        for ref in refs:
            inner, cell_of = self._followed(*ref) or ref
            if isinstance(inner, Plain) and inner.sign == "+":
                found += self._added(inner, cell_of)
            else:
                found.append(ref)
        return found

    def _plain(self, node: Plain, cell: int) -> Shown:
        shown = [self.visit(*ref) for ref in self._added(node, cell)]
        figures = [_bracketed(each.value) for each in shown]
        text = {"neg": f"- {figures[0]}", "abs": f"{figures[0]} without its sign", "square": f"{figures[0]}²",
                "root": f"√{figures[0]}"}.get(node.sign) or f" {node.sign} ".join(figures)
        first = shown[0]
        unit = first.unit if node.sign in ("+", "-", "neg", "abs") or (len(shown) > 1 and not shown[1].unit) else ""
        return self.keep(Step(first.symbol or self._symbol, text, "", node.at(cell), unit or self._unit, "arithmetic",
                              tuple((each.symbol, each.value, each.unit) for each in shown)))


def _winner(node: Folded, cell: int, members: list[Ref]) -> Ref:
    value = node.at(cell)
    return next((each for each in members if each[0].at(each[1]) == value), members[0] if members else (Node(value), 0))


def _name(node: Folded, ref: Ref) -> str:
    if node.names is not None:
        return node.names(*ref[0].place(ref[1]))
    return text_of(node.called.get(id(ref[0]), ""), ref[0].place(ref[1]))


def _bracketed(value: float) -> str:
    text = writing.worked(value)
    return f"({text})" if text.startswith("-") or "e" in text else text
