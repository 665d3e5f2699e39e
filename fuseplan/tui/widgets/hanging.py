"""A text behind a sign: its further lines are indented to where the first begins, so that entries of a list stay
apart."""

from __future__ import annotations

from textual.content import Content
from textual.css.styles import RulesMap
from textual.strip import Strip
from textual.style import Style
from textual.visual import RenderOptions, Visual


class Hanging(Visual):
    """A sign or indent, and a text beside it that wraps in the columns left."""

    def __init__(self, sign: Content, text: Content) -> None:
        self.sign, self.text = sign, text

    def __str__(self) -> str:
        return f"{self.sign.plain}{self.text.plain}"

    def _left(self, width: int) -> int:
        """Columns of the text; on a screen too narrow for both at least one."""
        return max(1, width - self.sign.cell_length)

    def render_strips(self, width: int, height: int | None, style: Style, options: RenderOptions) -> list[Strip]:
        indent = self.sign.cell_length
        [sign, *_] = self.sign.render_strips(indent, 1, style, options)
        lines = self.text.render_strips(self._left(width), height, style, options)
        return [Strip.join([sign if number == 0 else Strip.blank(indent, style.rich_style), text])
                for number, text in enumerate(lines)]

    def get_optimal_width(self, rules: RulesMap, container_width: int) -> int:
        return self.sign.cell_length + self.text.get_optimal_width(rules, container_width)

    def get_height(self, rules: RulesMap, width: int) -> int:
        return self.text.get_height(rules, self._left(width))
