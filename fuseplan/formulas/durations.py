"""Times in the units they are shown in."""

from __future__ import annotations

from fuseplan.formulas.registry import Value, formula


@formula("tₛ = h · t", cite="definition")
def in_seconds(time_h: Value, per_hour: Value = 3600.0) -> Value:
    """Hours in seconds.

    Args:
        time_h: t [h]. Time in hours.
        per_hour: h [s/h]. 3600.
    Returns:
        tₛ [s]. The same in seconds.

    >>> in_seconds(2.0)
    7200.0
    """
    return per_hour * time_h


@formula("tₘ = tₛ / m", cite="definition")
def in_minutes(time_s: Value, per_minute: Value = 60.0) -> Value:
    """Seconds in minutes.

    Args:
        time_s: tₛ [s]. Time in seconds.
        per_minute: m [s/min]. 60.
    Returns:
        tₘ [min]. The same in minutes.

    >>> in_minutes(90.0)
    1.5
    """
    return time_s / per_minute


@formula("d = tₛ / m", cite="definition")
def in_days(time_s: Value, per_day: Value = 86400.0) -> Value:
    """Seconds in days.

    Args:
        time_s: tₛ [s]. Time in seconds.
        per_day: m [s/day]. 86400.
    Returns:
        d [day]. The same in days.

    >>> in_days(172800.0)
    2.0
    """
    return time_s / per_day


@formula("tₛ = t₁ + h · t", cite="definition")
def seconds_later(first_s: Value, time_h: Value, per_hour: Value = 3600.0) -> Value:
    """Two times together, in seconds.

    Args:
        first_s: t₁ [s]. Time before.
        time_h: t [h]. Time after it in hours.
        per_hour: h [s/h]. 3600.
    Returns:
        tₛ [s]. Both together.

    >>> seconds_later(300.0, 1.0)
    3900.0
    """
    return first_s + per_hour * time_h
