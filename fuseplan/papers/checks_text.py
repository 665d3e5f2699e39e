"""The checks as text: all in a list by level, or one with everything there is to know about it."""

from __future__ import annotations

from collections.abc import Mapping

from fuseplan.checks.rule import CONSEQUENCES, LEVELS, Rule
from fuseplan.papers.findings import LEVEL_WORDS
from fuseplan.papers.paragraphs import Paint, paragraph, unpainted

LEVEL_MEANING = {
    "danger": "can burn, injure, or leave a pump running",
    "warning": "stops the car or damages a part",
    "advice": "everything else",
}

_AFTER = "fuseplan checks NAME explains one. A finding may have a lower level than its check."


def check_list(rules: Mapping[str, Rule], columns: int, paint: Paint = unpainted) -> str:
    """All checks by level, each with its name and one line of what it means."""
    widest = max(map(len, rules))
    lines: list[str] = []
    for level in LEVELS:
        lines += [*([""] if lines else []), paint(f"{LEVEL_WORDS[level]}: {LEVEL_MEANING[level]}", level)]
        for name, rule in rules.items():
            if rule.level == level:
                lines += paragraph(meaning(rule)[0], columns, f"  {name:<{widest}}  ")
    return "\n".join([*lines, "", *paragraph(_AFTER, columns)])


def check_text(rule: Rule, columns: int, paint: Paint = unpainted) -> str:
    """One check: what it means, level, what it leads to, source, fix, caution, and what fails and passes."""
    summary, *more = meaning(rule)
    lines = [paint(f"{LEVEL_WORDS[rule.level]} {rule.name}", rule.level), *paragraph(summary, columns, "  ")]
    for each in more:
        lines += ["", *paragraph(each, columns, "  ")]
    fails, _, passes = rule.example.partition("; passes: ")
    lines.append("")
    facts = (("Leads to", CONSEQUENCES[rule.consequence][1]), ("Fails", fails.removeprefix("fails: ")),
             ("Passes", passes), ("Fix", rule.fix), ("Source", rule.source), ("⚠ Caution", rule.caution))
    for name, text in facts:
        lines += paragraph(text, columns, f"  {name:<10}")
    return "\n".join(lines)


def meaning(rule: Rule) -> list[str]:
    """What a check means, its summary first, one text a paragraph."""
    return [" ".join(each.split()) for each in rule.words.split("\n\n")]
