"""Formulas the program does not use, which printed answers and other formulas are held against: resistance."""

from __future__ import annotations

import numpy as np

from fuseplan.formulas.registry import Value, formula


@formula("k = 1 + α · (T - T₀)", cite="IEC 60028 (α = 0.00393 per K for copper at 20 °C)")
def linear_temperature_factor(temperature_c: Value, alpha_per_k: Value = 0.00393, reference_c: Value = 20.0) -> Value:
    """Resistance at a temperature over that at the reference, by a coefficient of the reader's choice.

    Args:
        temperature_c: T [°C]. Conductor temperature.
        alpha_per_k: α [1/K]. Temperature coefficient at the reference: 0.00393 copper, 0.00403 aluminium.
        reference_c: T₀ [°C]. Temperature of the tabulated resistance.
    Returns:
        k [-]. Factor on the tabulated resistance.

    IEC 60028. NFPA 70-2011 chapter 9 table 8 writes the same with 0.00323 at 75 °C.

    >>> round(linear_temperature_factor(70.0, 0.004), 3)
    1.2
    """
    return 1 + alpha_per_k * (temperature_c - reference_c)


@formula("R = ρ · L / S", cite="definition of resistivity")
def solid_resistance(resistivity: Value, length: Value, area: Value) -> Value:
    """Resistance of a solid conductor from its material and size.

    Args:
        resistivity: ρ [ohm·mm²/m]. 0.017241 for copper of 100 % IACS at 20 °C (IEC 60028).
        length: L [m]. Length.
        area: S [mm²]. Metal cross-section.
    Returns:
        R [ohm]. Resistance at the temperature of the resistivity.

    Definition. Stranded conductors have 1.05 to 1.08 times this, so a printed resistance per length is to be preferred.

    >>> round(solid_resistance(0.017241, 10.0, 2.5), 6)
    0.068964
    """
    return resistivity * length / area


@formula("d = d₀ · 92^((36 - n) / 39)", cite="ASTM B258")
def awg_diameter(gauge: Value, base_mm: Value = 0.127) -> Value:
    """Diameter of a solid wire of an American gauge number.

    Args:
        gauge: n [-]. Gauge number; 0, -1, -2, -3 for 1/0, 2/0, 3/0, 4/0.
        base_mm: d₀ [mm]. Diameter of number 36.
    Returns:
        d [mm]. Diameter.

    ASTM B258 (formula from memory; NBS Handbook 100 names B258-61 as the table's standard). Wire sold by SAE size
    is smaller.

    >>> round(awg_diameter(12), 4)
    2.0525
    """
    return base_mm * 92 ** ((36 - gauge) / 39)


@formula("S = n · π · d² / 4", cite="geometry")
def strand_area(count: Value, strand_mm: Value) -> Value:
    """Cross-section of a conductor from its strands, as counted in a wire of unknown make.

    Args:
        count: n [-]. Number of strands.
        strand_mm: d [mm]. Diameter of one strand.
    Returns:
        S [mm²]. Metal cross-section.

    Geometry; the laid-up strands run slightly longer than the wire, which this leaves out.

    >>> round(strand_area(28, 0.30), 3)
    1.979
    """
    return count * np.pi * strand_mm**2 / 4
