"""The style sheets of the screens, of which each is parsed once for its colours."""

from __future__ import annotations

from typing import Any

from textual.css.stylesheet import Stylesheet
from textual.dom import DOMNode
from textual.screen import Screen

from fuseplan.tui.program import Program


class OnceParsed(Stylesheet):
    """As Textual's, which parses all of them anew for every screen that brings its own, and for colours that are the
    same."""

    def set_variables(self, variables: dict[str, str]) -> None:
        """Take over colours; what was parsed holds as long as they do."""
        if variables != self._variables:
            super().set_variables(variables)

    def reparse(self) -> None:
        """Parse what is new; as before where it cannot be parsed."""
        self.parse()

    only_for: DOMNode | None = None
    """The screen whose own sheet is being added."""

    def update(self, root: DOMNode, animate: bool = False) -> None:
        """Give a part and all within it their looks; where a screen's own sheet is added, that screen alone, as it says
        nothing of any other, and the screen is empty yet."""
        if self.only_for is None:
            super().update(root, animate)
        else:
            self.apply(self.only_for)


class Styled(Program):
    """The part of the program that has style sheets."""

    stylesheet: OnceParsed

    def _load_screen_css(self, screen: Screen[Any]) -> None:
        """As the base does it, which would give the screen that is open its looks once more."""
        self.stylesheet.only_for = screen
        try:
            super()._load_screen_css(screen)
        finally:
            self.stylesheet.only_for = None
