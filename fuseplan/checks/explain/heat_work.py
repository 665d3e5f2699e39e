"""The heat balance of one wire in still air: what it makes, what it loses, and that both agree.

The balance is found by an algorithm; its working shows its answer and then, formula by formula, that the wire loses
there what it makes.
"""

from __future__ import annotations

import numpy as np

from fuseplan.checks.explain.demand_work import lasting_demand
from fuseplan.checks.explain.steps import entered, given, total
from fuseplan.checks.explain.wire_work import HEAT_BALANCE, ambient_c
from fuseplan.engine.heat import HOTTEST_C, per_metre
from fuseplan.engine.results import Results
from fuseplan.engine.still_wire import EMISSIVITY, outside
from fuseplan.formulas.convection import ICE_POINT_K, steady_temperature
from fuseplan.formulas.insulation import insulation_resistance, wire_heat
from fuseplan.formulas.resistance import copper_temperature_factor
from fuseplan.formulas.working import apply, note
from fuseplan.quantities import writing
from fuseplan.tables import conductors, factors, insulations

CLOSES = "a check that the balance closes"


def _wire(results: Results, index: int) -> tuple[float, float, float, float]:
    """(ohm per metre at 20 °C, conductor diameter m, outside diameter m, conductivity)."""
    segments = results.network.segments
    size, name = segments.segment[index].size, segments.insulation[index]
    assert size is not None
    conductor = conductors.conductor(size.system, size.name)
    r20 = given("r₂₀", f"resistance of {size} at 20 °C", float(per_metre(results.network)[index]), "ohm/m",
                conductor.source.line())
    inner = given("d", f"diameter of the conductor of {size}", conductor.diameter_mm / 1000.0, "m",
                  "derived from the cross-section and the share of copper in a bunch of strands")
    over, conductivity = outside(conductor.area_mm2, conductor.diameter_mm, name)
    printed = conductors.outside_diameter_mm(conductor.area_mm2, name)
    given("D", f"outside diameter with {name}", over, "m",
          printed.source.line() if printed else "none printed: wall from the conductor's diameter (derived)")
    given("λ", f"conductivity of {name}", conductivity, "W/(m·K)", insulations.insulation(name).source.line())
    return r20, inner, over, conductivity


def steady(results: Results, index: int) -> float:
    """Steady temperature of a segment at its lasting demand, the wires beside it counted by raising its current."""
    network, limit_set = results.network, results.limit_set
    segments = network.segments
    r20, inner, over, conductivity = _wire(results, index)
    ambient = ambient_c(results, index)
    demand = lasting_demand(results, bool(segments.returns[index]), int(segments.branch[index]))
    count = int(results.solution.loaded[:, index].max())
    group = given("g", f"factor for {count} conductors counted in its fullest run: its current is raised by the "
                       "inverse",
                  float(limit_set.group_factor(np.array([count]))[0]), "-",
                  factors.group_source(limit_set.group.table).line() if limit_set.group.table else
                  f"limits {limit_set.name}: {limit_set.group.basis}")
    current = total("I", f"{writing.worked(demand)} A over {writing.worked(group)}", [("current that heats "
                                                                                       "it", demand / group)], "A",
                    "definition of the grouping factor")
    found = float(steady_temperature(current, r20, inner, over, ambient, conductivity, EMISSIVITY))
    found = min(found, HOTTEST_C)
    if found < HOTTEST_C:
        _closes(current, r20, inner, over, ambient, conductivity, found)
    return given("T", "temperature at which it loses what it makes" if found < HOTTEST_C else
                 "it would melt before it settled", found, "°C", HEAT_BALANCE)


def ampacity(results: Results, index: int) -> float:
    """Current that brings a segment alone from its ambient to its insulation's limit."""
    segments = results.network.segments
    r20, inner, over, conductivity = _wire(results, index)
    ambient = ambient_c(results, index)
    top = entered("Tₘ", f"limit of {segments.insulation[index]} under this "
                        "limits", float(segments.max_c[index]), "°C",
                  "insulation")
    current = float(results.balance_ampacity_a[index])
    if top > ambient:
        _closes(current, r20, inner, over, ambient, conductivity, top)
    return given("I", "current at which it loses at its limit what it makes", current, "A", HEAT_BALANCE)


def _closes(current: float, r20: float, inner: float, over: float, ambient: float, conductivity: float,
            conductor_c: float) -> None:
    from fuseplan.formulas import air, still_air

    given("I", "current of the balance", current, "A", HEAT_BALANCE)
    hot = given("T", "conductor temperature of the balance", conductor_c, "°C", HEAT_BALANCE)
    k = apply(copper_temperature_factor, temperature_c=hot)
    made = float(apply(wire_heat, current_a=current, r20_ohm_per_m=r20, temperature_factor=k))
    wall = float(apply(insulation_resistance, outside_d_m=over, conductor_d_m=inner, conductivity_w_mk=conductivity))
    surface = given("Tₛ", f"surface: {writing.worked(hot)} °C less the {writing.worked(made)} W/m made times "
                          f"{writing.worked(wall)} K·m/W", hot - made * wall,
                    "°C", "conduction through the insulation")
    rise = given("ΔT", "surface over ambient", surface - ambient, "K", "definition")
    if rise <= 0:
        return
    film = given("Tf", "film temperature, half way between surface and ambient", ambient + rise / 2 + ICE_POINT_K, "K",
                 "usual choice for gas properties")
    viscosity = apply(air.air_viscosity, film_k=film)
    conducts = apply(air.air_conductivity, film_k=film)
    density = apply(air.air_density, film_k=film)
    buoyancy = apply(still_air.rayleigh, rise_k=rise, diameter_m=over, film_k=film, density=density,
                     viscosity=viscosity, conductivity=conducts)
    number = apply(air.prandtl, viscosity=viscosity, conductivity=conducts)
    nusselt = apply(still_air.nusselt_horizontal_cylinder, rayleigh=buoyancy, prandtl=number)
    film_h = apply(still_air.convection_coefficient, nusselt=nusselt, conductivity=conducts, diameter_m=over)
    air_w = float(apply(still_air.convected_power, coefficient=film_h, diameter_m=over, rise_k=rise))
    given("ε", "emissivity of the surface", EMISSIVITY, "-", "from memory; plastic or painted surface")
    rays = float(apply(still_air.radiated_power, surface_c=surface, ambient_c=ambient, diameter_m=over,
                       emissivity=EMISSIVITY))
    lost = total("q", "lost by convection and "
                      "radiation", [("convection", air_w), ("radiation", rays)], "W/m", "definition")
    note("q", f"made {writing.worked(made)} W/m, lost {writing.worked(lost)} W/m: "
              f"{writing.signed_share(lost / made - 1)} apart", writing.signed_share(lost / made - 1), "-", CLOSES)
