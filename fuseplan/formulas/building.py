"""Lengths and diameters for building a loom."""

from __future__ import annotations

import numpy as np

from fuseplan.formulas.registry import Value, formula


@formula("h = 2 · π · D · α / 21600", cite="NUREG-0700 rev. 2, 1.3.1-4")
def character_height(distance_mm: Value, angle_arc_min: Value) -> Value:
    """Height of a letter that is seen at an angle from a distance.

    Args:
        distance_mm: D [mm]. Distance from the eye.
        angle_arc_min: α [-]. Angle it fills, in minutes of arc: 16 at least, 20 to 22 preferred.
    Returns:
        h [mm]. Height of a letter.

    NUREG-0700 rev. 2, 1.3.1-4; 21600 minutes of arc go round. ISO 9241-3 (second-hand) puts the distance at 155 to 175
    times the height, which is the same for 20 minutes.

    >>> round(character_height(500.0, 20.0), 2)
    2.91
    """
    return 2 * np.pi * distance_mm * angle_arc_min / 21600


@formula("D = 1.2 · √(Q)", cite="a wire distributor's page on bundle diameter")
def bundle_diameter(squares_mm2: Value) -> Value:
    """Diameter of a bundle of wires of unlike sizes.

    Args:
        squares_mm2: Q [mm²]. Squares of the outside diameters of all its wires, added up.
    Returns:
        D [mm]. Diameter over the bundle, laid tidily and not sleeved.

    Below what geometry allows for 2 to 6 and for 9 equal wires: not to be used alone.

    >>> round(bundle_diameter(3 * 1.19**2 + 5 * 1.40**2 + 1.65**2), 2)
    4.91
    """
    return 1.2 * squares_mm2**0.5


@formula("d = 0.97 · Dᵢ · √(p)", cite="derived from a conduit maker's table of largest bundles: 0.967 to "
                                      "0.971 in all entries tried")
def largest_bundle(inside_mm: Value, fill: Value) -> Value:
    """Diameter of the thickest bundle for a tube.

    Args:
        inside_mm: Dᵢ [mm]. Inside diameter of the tube.
        fill: p [-]. Share of its area that may be filled.
    Returns:
        d [mm]. Diameter of the bundle.

    The maker's table for 9.5, 12.7 and 19.1 mm tube at 50 and 60 %; he advises 70 %.

    >>> round(largest_bundle(19.1, 0.5), 1)
    13.1
    """
    return 0.97 * inside_mm * fill**0.5


@formula("L = P + n · (t₁ + t₂)", cite="AC 43.13-1B par. 11-118: slack for two re-terminations at each end")
def cut_length(path_m: Value, terminations: Value, start_m: Value, end_m: Value) -> Value:
    """Length to which a wire is cut.

    Args:
        path_m: P [m]. Way along the loom from end to end.
        terminations: n [-]. Terminations each end has wire for besides the first.
        start_m: t₁ [m]. What one termination takes at the start: strip length and crimp barrel.
        end_m: t₂ [m]. The same at the end.
    Returns:
        L [m]. Length before rounding up.

    AC 43.13-1B par. 11-118 asks for the slack; that it is counted in strip and barrel lengths is our reading of it.

    >>> round(cut_length(1.0, 2.0, 0.015, 0.015), 3)
    1.06
    """
    return path_m + terminations * (start_m + end_m)


@formula("w = z + π · d", cite="common practice, no source: one full turn of clear tail over the print")
def wrap_length(printed_mm: Value, wire_mm: Value) -> Value:
    """Length of a self-laminating label that goes round a wire.

    Args:
        printed_mm: z [mm]. Length of the printed zone, along the way round.
        wire_mm: d [mm]. Outside diameter of the wire.
    Returns:
        w [mm]. Length of the label: print and one full turn of clear tail.

    Geometry; no published rule was found.

    >>> round(wrap_length(5.0, 2.9), 1)
    14.1
    """
    return printed_mm + np.pi * wire_mm


@formula("k = √(1 + (π · d · n)²)", cite="length of a helix")
def twist_length(diameter_m: Value, twists_per_m: Value) -> Value:
    """By how much a wire of a twisted pair is longer than the pair.

    Args:
        diameter_m: d [m]. Outside diameter of one wire: the axes of the two are that far apart.
        twists_per_m: n [1/m]. Whole turns per metre of the pair.
    Returns:
        k [-]. Length of the wire over that of the pair.

    The axis of each wire is a helix on a circle of diameter d: one turn rises 1/n and goes round π d.

    >>> round(float(twist_length(1.6e-3, 30.0)), 4)
    1.0113
    """
    return np.sqrt(1 + (np.pi * diameter_m * twists_per_m)**2)
