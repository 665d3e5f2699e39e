"""No module but `quantities/writing.py`, with `decimals.py` beside it, turns a number into words, so that no figure is
rounded by local choice.

Read from the source: a format specification that formats a number, a bare figure in a text, `round`, `math.floor` and
the like inside a text, `format` and `%` on texts. Widths, counts with thousands apart and hexadecimal codes are no
rounding.
"""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import fuseplan

ROOT = Path(fuseplan.__file__).parent
SOURCES = sorted(path for path in ROOT.rglob("*.py"))

EXCEPTIONS = {
    "quantities/writing.py": "the place",
    "quantities/decimals.py": "what the place rounds with",
    "quantities/amounts.py": "reading: the bounds of a key, a number that is not in them told as it was typed, and "
                             "the digits kept of a converted amount",
    "quantities/wire_size.py": "reading: the name of a size that is given as an area",
    "papers/loom_svg.py": "coordinates of a drawing",
    "papers/svg.py": "coordinates of a drawing",
    "trace/walk.py": "a fault of the program, with every digit",
    "engine/cures.py": "multiples of the pulley's step, free of the noise of floats",
    "tui/screens/report.py": "cells of a bar",
    "tui/widgets/progress_line.py": "cells of a bar",
    "tui/widgets/fuse_range_bar.py": "cells of a bar",
}
"""Module, and what it formats there that is no figure for a reader."""

_NUMERIC = re.compile(r"^.?[<>^=]?[-+ ]?#?0?\d*[,_]?(\.\d+)?[eEfFgGn%]$|\.\d|\{")
_IN_TEMPLATE = re.compile(r":[^}]*\.\d")
_ROUNDING = {"round", "int", "floor", "ceil", "trunc", "rint", "format"}
_FIGURE = re.compile(r"_(a|v|m|mm|mm2|ohm|c|w|wh|ah|rpm|a2s|share|factor)$")
"""Names of bare numbers: put into a text as they are they would stand there with all their digits."""


def _called(node: ast.AST) -> str:
    if not isinstance(node, ast.Call):
        return ""
    return node.func.id if isinstance(node.func, ast.Name) else node.func.attr if isinstance(node.func, ast.Attribute) \
        else ""


def _is_entry(node: ast.AST) -> bool:
    """``int(numbers[index])``, a number out of an array of numbers."""
    return _called(node) == "int" and isinstance(node, ast.Call) and isinstance(node.args[0], ast.Subscript)


def _spec(node: ast.FormattedValue) -> str:
    """The specification's own text; a nested width as ``<9``, a nested number of decimals as ``{``."""
    parts = node.format_spec.values if isinstance(node.format_spec, ast.JoinedStr) else []
    text = ""
    for part in parts:
        text += str(part.value) if isinstance(part, ast.Constant) else "9" if text and text[-1] in "<>^" else "{"
    return text


def _bare(node: ast.expr) -> bool:
    """A figure put into a text with all its digits, or rounded somewhere inside of what is put there."""
    inner = node.args[0] if _called(node) in {"float", "abs", "min", "max", "str"} and isinstance(node, ast.Call) \
        and node.args else node
    while isinstance(inner, ast.Subscript):
        inner = inner.value
    name = inner.id if isinstance(inner, ast.Name) else inner.attr if isinstance(inner, ast.Attribute) else ""
    sums = [node] if isinstance(node, ast.BinOp) else []
    return bool(_FIGURE.search(name)) or _called(node) == "float" or any(
        _called(each) in _ROUNDING - {"int"} for one in sums for each in ast.walk(one))


def _formats(node: ast.AST) -> bool:
    if isinstance(node, ast.FormattedValue):
        if node.format_spec is None and _bare(node.value):
            return True
        return bool(_NUMERIC.search(_spec(node))) or (_called(node.value) in _ROUNDING and not _is_entry(node.value))
    if isinstance(node, ast.BinOp):
        return isinstance(node.op, ast.Mod) and isinstance(node.left, ast.Constant) and isinstance(node.left.value, str)
    if not isinstance(node, ast.Call):
        return False
    if isinstance(node.func, ast.Name):
        return node.func.id in {"round", "format"} or (node.func.id == "str" and _bare(node))
    return isinstance(node.func, ast.Attribute) and node.func.attr == "format" \
        and isinstance(node.func.value, ast.Constant) and bool(_IN_TEMPLATE.search(str(node.func.value.value)))


def offences(source: str) -> list[int]:
    """Lines of a source that format a number."""
    return sorted({node.lineno for node in ast.walk(ast.parse(source)) if _formats(node)})


def test_only_one_module_formats_numbers() -> None:
    assert len(SOURCES) > 200
    texts = {path.relative_to(ROOT).as_posix(): path.read_text(encoding="utf-8") for path in SOURCES}
    found = [f"fuseplan/{name}:{line}" for name, text in texts.items() if name not in EXCEPTIONS
             for line in offences(text)]
    assert found == [], "write it by fuseplan.quantities.writing, with its side"


@pytest.mark.parametrize("name", EXCEPTIONS)
def test_every_exception_is_still_one(name: str) -> None:
    assert offences((ROOT / name).read_text(encoding="utf-8"))


@pytest.mark.parametrize("source", [
    'f"{a:.1f} A"', 'f"{a:g}"', 'f"{a:.0%}"', 'f"{a:>8.2f}"', 'f"{a:+.2f}"', 'f"{a:.{n}f}"', 'f"{a:,.0f}"',
    'f"{round(a)} A"', 'f"{math.ceil(a)} A"', 'f"{int(a)} A"', "round(a, 2)", 'format(a, ".2f")', '"%.2f" % a',
    '"{:.1f}".format(a)', 'f"{load_a} A"', 'f"{part.most_v[0]} V"', 'f"{5 * math.ceil(a / 5)} min"', 'f"{float(a)}"',
    "str(self.area_mm2)",
])
def test_what_counts_as_formatting(source: str) -> None:
    assert offences(source) == [1]


@pytest.mark.parametrize("source", [
    'f"{a} A"', 'f"{a:<9}"', 'f"{a:>{n}}"', 'f"{a:02x}"', 'f"{count:,}"', 'f"{len(a)}"', "np.round(a, 9)",
    '"{}".format(a)', 'f"{index + 1}"', "str(key)", 'f"load.{int(numbers[index])}"',
])
def test_what_does_not(source: str) -> None:
    assert offences(source) == []
