"""Documents as JSON text that is safe to print."""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING, Any

from fuseplan.results.document import plain

if TYPE_CHECKING:
    from fuseplan.checks.assessment import Assessment

_OUTSIDE_ASCII = re.compile(r"[^ -~\n]")


def to_json(document: Any) -> str:
    """Indented JSON; whatever a terminal would act on is written as ``\\uXXXX``, no NaN, keys in their own order."""
    text = json.dumps(plain(document), indent=1, ensure_ascii=False, allow_nan=False)
    return _OUTSIDE_ASCII.sub(_escaped, text)


def _escaped(found: re.Match[str]) -> str:
    character = found[0]
    if character.isprintable():
        return character
    raw = character.encode("utf-16-be")
    return "".join(f"\\u{raw[at:at + 2].hex()}" for at in range(0, len(raw), 2))


def result_text(assessment: Assessment, part: tuple[str, str] | None = None) -> str:
    """The result document; for one circuit, feed or earth point, by kind and id, the same document with only this one
    of its kind and its findings."""
    document = assessment.to_dict()
    if part is not None:
        kind, name = part
        document[f"{kind}s"] = [each for each in document[f"{kind}s"] if each["id"] == name]
        document["findings"] = [each for each in document["findings"]
                                if (each["subject_kind"], each["subject"]) == part]
    return to_json(document)
