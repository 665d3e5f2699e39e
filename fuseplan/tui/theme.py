"""A dark and a light theme of plain colours; what a colour says is always said in words as well."""

from __future__ import annotations

from textual.theme import Theme

DARK = Theme(
    name="fuseplan-dark", dark=True, primary="#6f9fc8", secondary="#5a7d9a", accent="#d8b25c", warning="#e3b341",
    error="#ff7b6b", success="#7ec98f", foreground="#e8e6e1", background="#15171a", surface="#1b1e22", panel="#2a2f36",
)
LIGHT = Theme(
    name="fuseplan-light", dark=False, primary="#1d5a91", secondary="#4a6b88", accent="#7a5200", warning="#8a5a00",
    error="#a81f16", success="#1c6a35", foreground="#1a1a1a", background="#f4f2ec", surface="#fdfcf8", panel="#dfdbd0",
)
THEMES = (DARK, LIGHT)
