"""A sentence stands in one module: what two of them say alike would be mended in one and kept in the other."""

from __future__ import annotations

import ast
import re
from collections import defaultdict
from pathlib import Path

import fuseplan

ROOT = Path(fuseplan.__file__).parent
WORD = re.compile(r"[A-Za-z]{2,}")
LEAST_WORDS = 6
DECLARED = ("results", "plan")
"""Rooms whose words are declarations: a key that stands at several parts is described at each."""


def sentences(tree: ast.AST) -> set[str]:
    """The texts of a module with so many words, holes of templates as {}; docstrings and comments left out."""
    found, left_out, texts = set(), set[int](), list[ast.Constant]()
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant):
            texts.append(node)
        elif isinstance(node, ast.Expr):
            left_out.add(id(node.value))
        elif isinstance(node, ast.JoinedStr):
            left_out.update(map(id, node.values))
            found.add("".join(str(value.value) if isinstance(value, ast.Constant) else "{}" for value in node.values))
    found |= {node.value for node in texts if isinstance(node.value, str) and id(node) not in left_out}
    return {text for text in found if text.count(" ") >= LEAST_WORDS - 1 and len(WORD.findall(text)) >= LEAST_WORDS}


def test_no_sentence_stands_in_two_modules() -> None:
    modules = defaultdict(list)
    for path in sorted(ROOT.rglob("*.py")):
        name = path.relative_to(ROOT).as_posix()
        if not name.startswith(DECLARED):
            for text in sentences(ast.parse(path.read_text(encoding="utf-8"))):
                modules[text].append(name)
    assert len(modules) > 1500
    assert {text: names for text, names in modules.items() if len(names) > 1} == {}


def test_what_counts_as_a_sentence() -> None:
    tree = ast.parse('"""Five words and one more docstring."""\n'
                     'x = f"take {a} off and put {b} in there"\ny = "too few words"')
    assert sentences(tree) == {"take {} off and put {} in there"}
