"""How the current of each consumer follows the voltage across it."""

from __future__ import annotations

import numpy as np

from fuseplan.array_types import Floats, Ints
from fuseplan.records import dataclass

SHARE_STOPPED = 0.5
"""A load of constant power stops working below this share of the voltage its current is stated at; what it draws
rises no further."""
LEAST_V = 0.1
"""Slopes of current over voltage are taken at this or more: they have no end at 0 V."""


@dataclass(frozen=True)
class Laws:
    """``I = I_ref · (U / U_ref)^n`` for K consumers, with U held at half of U_ref or more for those of constant power,
    which stop working below that. A starter draws what the engine's drag asks, whatever the voltage, until it stalls:
    then it is a resistance."""

    reference_v: Floats
    exponent: Floats
    lamps: Ints
    """Those whose current follows a power of the voltage other than 1, 0 and -1."""
    constant_power: Ints
    constant_current: Ints
    stalling: Ints
    locked_ohm: Floats
    """Resistance of those, standing still."""

    @classmethod
    def of(cls, reference_v: Floats, exponent: Floats, locked_ohm: Floats) -> Laws:
        """The laws of consumers, from the voltage each current is stated at [V], the power of the voltage it follows,
        and the resistance of a starter that stands still [ohm], 0 for all others, all (K,)."""
        stalling = np.flatnonzero(locked_ohm > 0)
        return cls(reference_v, exponent, np.flatnonzero((exponent != 1) & (exponent != 0) & (exponent != -1)),
                   np.flatnonzero(exponent == -1), np.flatnonzero(exponent == 0), stalling, locked_ohm[stalling])

    def currents(self, voltage_v: Floats, reference_a: Floats) -> Floats:
        """Current of every consumer at the voltage across it.

        Args:
            voltage_v: array (K, R) [V]
            reference_a: array (K, R), 0 where off [A]
        Returns:
            array (K, R) [A]
        """
        ratio = np.maximum(voltage_v, 0.0)
        ratio /= self.reference_v[:, None]
        current = reference_a * ratio
        if self.lamps.size:
            rows = self.lamps
            current[rows] = reference_a.take(rows, axis=0) * ratio.take(rows, axis=0) ** self.exponent[rows, None]
        if self.constant_power.size:
            rows = self.constant_power
            current[rows] = reference_a.take(rows, axis=0) / np.maximum(ratio.take(rows, axis=0), SHARE_STOPPED)
        if self.constant_current.size:
            rows = self.constant_current
            current[rows] = reference_a.take(rows, axis=0)
        if self.stalling.size:
            rows = self.stalling
            stalled = np.maximum(voltage_v.take(rows, axis=0), 0.0) / self.locked_ohm[:, None]
            current[rows] = np.minimum(reference_a.take(rows, axis=0), stalled)
        return current

    def slopes(self, voltage_v: Floats, current_a: Floats) -> Floats:
        """How the current of every consumer rises with the voltage across it, from its current there.

        Args:
            voltage_v: array (K, R) [V]
            current_a: array (K, R), as `currents` gives it [A]
        Returns:
            array (K, R) [A/V]
        """
        found = np.maximum(voltage_v, LEAST_V)
        np.divide(self.exponent[:, None], found, out=found)
        found *= current_a
        if self.constant_power.size:
            rows = self.constant_power
            stopped = voltage_v.take(rows, axis=0) <= SHARE_STOPPED * self.reference_v[rows, None]
            if stopped.any():
                found[rows] = np.where(stopped, 0.0, found[rows])
        if self.stalling.size:
            rows = self.stalling
            volts, current, ohm = voltage_v.take(rows, axis=0), current_a.take(rows, axis=0), self.locked_ohm[:, None]
            found[rows] = np.where(current >= volts / ohm, 1.0 / ohm, 0.0)
        return found
