"""A bulb in the fuse's place at first power: it limits what a short draws, and shows one by its light."""

from __future__ import annotations

import math

from fuseplan.formulas.load import current_from_power, lamp_light, load_current
from fuseplan.quantities import writing
from fuseplan.records import dataclass
from fuseplan.tables.load import table

DARK_SHARE = 0.10
"""A load that draws this share of the bulb's rated current or less leaves it dark: any glow is then a finding. Common
practice, no source."""
SPARE = 1.5
"""A bench supply in the bulb's place is limited to this multiple of the current expected. Common practice, no
source."""
BULB_W = 21.0
"""The bulb asked for where no other is needed."""
WATTS = (5.0, BULB_W, 55.0)
"""Bulbs a garage has, of the system's voltage."""
_STEPS = 60


@dataclass(frozen=True)
class SeriesLamp:
    """A bulb by its power at its rated voltage."""

    watts: float
    rated_v: float

    @property
    def rated_a(self) -> float:
        """Current at its rated voltage [A]."""
        return float(current_from_power(self.watts, self.rated_v))

    def current_a(self, voltage_v: float) -> float:
        """Current at a voltage across it [A]."""
        return float(load_current(self.rated_a, voltage_v, self.rated_v, self.law[2]))

    @property
    def law(self) -> tuple[float, float, float]:
        """Its rated current [A], the voltage that is stated at [V], and the power of the voltage it follows."""
        exponent = table("load_voltage_exponents").cited("kind", "lamp", "exponent")
        assert exponent is not None
        return self.rated_a, self.rated_v, exponent.value

    @property
    def words(self) -> str:
        """The lamp as it is asked for in a shop."""
        return f"{writing.stated(self.rated_v, 'V')} {writing.stated(self.watts, 'W')} bulb"


@dataclass(frozen=True)
class Glow:
    """A series lamp with something behind it."""

    lamp_v: float
    current_a: float
    light: float
    """Share of the light it gives at its rated voltage; above 1 on a voltage above it."""


def behind(lamp: SeriesLamp, supply_v: float, load_ohm: float) -> Glow:
    """What a series lamp shows with a resistance behind it [ohm]; infinite for nothing. Lamp and load share the
    supply's voltage, and the same current flows through both."""
    if math.isinf(load_ohm):
        return Glow(0.0, 0.0, 0.0)
    low, high = 0.0, supply_v
    for _ in range(_STEPS):
        middle = 0.5 * (low + high)
        # The more the lamp takes, the more current it draws, and the less is left for the load to draw as much.
        if lamp.current_a(middle) * load_ohm > supply_v - middle:
            high = middle
        else:
            low = middle
    volts = 0.5 * (low + high)
    return Glow(volts, lamp.current_a(volts), float(lamp_light(volts, lamp.rated_v)))


def lamp_for(expected_a: float, rated_v: float) -> SeriesLamp | None:
    """The smallest bulb that an expected current leaves dark; None where none does: then a supply whose current can be
    limited, or the loads unplugged first."""
    return next((lamp for watts in WATTS for lamp in [SeriesLamp(watts, rated_v)]
                 if expected_a <= DARK_SHARE * lamp.rated_a), None)
