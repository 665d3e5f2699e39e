"""XML that declares a document type or entities is not read: entities can grow without end or name other files."""

from __future__ import annotations

import re

_DECLARED = re.compile(rb"<!\s*(?:DOCTYPE|ENTITY)", re.IGNORECASE)


def declares_type(raw: bytes) -> bool:
    """Whether the bytes of an XML file declare one, in any encoding an XML reader takes (UTF-16 too)."""
    return _DECLARED.search(raw.replace(b"\0", b"")) is not None
