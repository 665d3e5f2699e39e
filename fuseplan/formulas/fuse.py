"""Fuses: what the load needs, what the wire allows, what the fuse itself drops."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula(
    "Iᵣ = I / (s · f)",
    cite=(
        "fuse selection rule: catalogue rating = normal current / (share × percent of rating), fuse makers' "
        "selection guides (from memory; same form read in TA-I sheet TCP-XXOS006H p. 10)"
    ),
)
def smallest_fuse(load: Value, share: Value, ambient_factor: Value) -> Value:
    """Smallest fuse rating that carries a load lastingly.

    Args:
        load: I [A]. Lasting load current.
        share: s [-]. Share of its rating a fuse may carry lastingly at 25 °C, 0.75 or 0.70.
        ambient_factor: f [-]. Share left at the holder's ambient, 1 at 25 °C.
    Returns:
        Iᵣ [A]. Smallest rating; the next printed rating UP is fitted.

    A maker's table of allowed loads over ambient already holds its margin: with it the share is 1, or the derating
    counts twice.

    >>> round(smallest_fuse(1.5, 0.70, 0.95), 4)
    2.2556
    """
    return load / (share * ambient_factor)


@formula("s = I / Iᵣ", cite="definition")
def load_share(load: Value, rating: Value) -> Value:
    """How much of its rating a fuse carries.

    Args:
        load: I [A]. Load current.
        rating: Iᵣ [A]. Rating of the fuse.
    Returns:
        s [-]. Share of the rating in use.

    >>> load_share(11.0, 20.0)
    0.55
    """
    return load / rating


@formula("m = Iₘ / I₀", cite="definition")
def share_left(ampacity: Value, printed: Value) -> Value:
    """Share of a printed current that ambient and neighbours leave.

    Args:
        ampacity: Iₘ [A]. Permitted current of the wire where it lies.
        printed: I₀ [A]. Printed current.
    Returns:
        m [-]. What is left, 1 for all.

    >>> share_left(16.0, 32.0)
    0.5
    """
    return ampacity / printed


@formula("Iᵣ = m · Iₘ", cite="33 CFR 183.455 (multiple 1.5 below 50 V); multiple 1 by the usual rule")
def largest_fuse(ampacity: Value, multiple: Value) -> Value:
    """Largest fuse that still guards a wire.

    Args:
        ampacity: Iₘ [A]. Permitted current of the thinnest wire behind the fuse, derated.
        multiple: m [-]. 1, or 1.5 in small craft below 50 V.
    Returns:
        Iᵣ [A]. Largest rating; the next printed rating DOWN is fitted.

    33 CFR 183.455 for 1.5; AC 43.13-1B par. 11-47 wants the device to open before the wire's rating is passed.

    >>> largest_fuse(25.0, 1.5)
    37.5
    """
    return multiple * ampacity


@formula("R = R₀ · (1 + (h - 1) · (I / Iᵣ)²)", cite="derived: a curve through a maker's cold resistance and its drop "
         "at rated current")
def hot_resistance(cold_ohm: Value, hot_over_cold: Value, current_a: Value, rating_a: Value) -> Value:
    """Resistance of a fuse whose element is warmed by its current.

    Args:
        cold_ohm: R₀ [ohm]. Cold resistance.
        hot_over_cold: h [-]. Resistance at rated current over the cold one.
        current_a: I [A]. Current through it.
        rating_a: Iᵣ [A]. Rated current.
    Returns:
        R [ohm]. Resistance at that current.

    Both ends are printed for most ratings (Littelfuse 297: MINI 15 A, 4.58 mΩ cold, 98 mV at 15 A); heating by the
    square of the current between them is taken.

    >>> round(hot_resistance(0.00458, 1.4265, 15.0, 15.0) * 15.0, 3)
    0.098
    """
    return cold_ohm * (1 + (hot_over_cold - 1) * (current_a / rating_a) ** 2)
