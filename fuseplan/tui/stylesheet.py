"""The style sheets of the screens, of which each is parsed once for its colours."""

from __future__ import annotations

from textual.css.stylesheet import Stylesheet


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
