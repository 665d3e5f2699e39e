"""The example coupe with a few of its circuits, for tests that edit and assess a plan often."""

from __future__ import annotations

import re
from pathlib import Path

KEPT = ("charge_lamp", "washer", "horn", "radio", "reverse", "fans", "fuel_pump", "stop_lamps", "rear_fog", "side_left",
        "ecu")
_BLOCK = re.compile(r"^\[circuit\.(\w+)\]\n.*?(?=^\[circuit\.|^# ---|^\[trip)", re.MULTILINE | re.DOTALL)
COUPE = _BLOCK.sub(lambda found: found[0] if found[1] in KEPT else "",
                   Path("examples/coupe_turbo.toml").read_text(encoding="utf-8"))
