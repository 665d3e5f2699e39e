"""How the battery's and the alternator's figures came about."""

from __future__ import annotations

from fuseplan.checks.explain import path_work
from fuseplan.checks.explain.steps import entered, given, solved, total
from fuseplan.engine.alternator import machine_of
from fuseplan.engine.results import Results
from fuseplan.engine.solve import Solution
from fuseplan.engine.source import (
    COLD_OPEN_V,
    PULLEY_RATIO,
    REGULATOR_C,
    REGULATOR_V,
    UNKNOWN_OHM,
    UNKNOWN_STRONG_OHM,
    battery_known,
    cold_share,
    internal_ohm,
    strongest_ohm,
)
from fuseplan.formulas.alternator import hot_output, regulated_voltage, rotor_speed
from fuseplan.formulas.battery import internal_resistance_from_cold_crank, terminal_voltage
from fuseplan.formulas.drop import voltage_at_load
from fuseplan.formulas.working import apply, note
from fuseplan.quantities import writing
from fuseplan.tables import alternators, batteries

SCALED = "scaled from 12 V in proportion to the system voltage"


def open_circuit(results: Results) -> float:
    """Rested voltage of the battery."""
    battery, value = results.plan.battery, float(results.source.open_circuit_v[0])
    if battery is not None and battery.open_circuit is not None:
        return entered("E", "rested voltage", value, "V", "battery.open_circuit")
    charge = 1.0 if battery is None else battery.state_of_charge
    entered("z", "state of charge" if battery else "no battery in the plan: taken as full", charge, "-",
            "battery.state_of_charge")
    return given("E", f"rested voltage at that charge, straight line between the printed rows, {SCALED}", value, "V",
                 batteries.ocv_source().line())


def internal(results: Results, cold: bool) -> float:
    """Internal resistance of the battery, cold as while cranking or warm."""
    battery, system_v = results.plan.battery, results.network.system_v
    value = internal_ohm(battery, system_v, cold)
    if battery is not None and battery.internal_resistance is not None:
        return entered("r", "internal resistance", value, "ohm", "battery.internal_resistance")
    if battery is None or not battery.cold_crank:
        return given("r", f"nothing is known of the battery: {writing.stated(UNKNOWN_OHM * 1e3, 'mΩ')} of a small, "
                          f"tired one, {SCALED}", value,
                     "ohm", "common practice, no source")
    test, scale = batteries.cold_crank_test(battery.cold_crank_test.lower()), system_v / 12.0
    start = given("U₀", f"rested voltage before the cold test, {SCALED}", COLD_OPEN_V * scale, "V", "from memory")
    end = given("U₁", f"least voltage in the cold test, {test.words}, "
                      f"{SCALED}", test.end_v * scale, "V", test.source.line())
    current = entered("I", "cold-cranking current of the label", float(battery.cold_crank), "A", "battery.cold_crank")
    ohm = float(apply(internal_resistance_from_cold_crank, open_v=start, end_v=end, current=current))
    share = given("s", "internal resistance as a share of that in the cold test, by the battery's temperature",
                  cold_share(battery, cold), "-", "from memory")
    return given("r", f"internal resistance: {writing.worked(ohm)} ohm × "
                      f"{writing.worked(share)}", ohm * share, "ohm", "definition of the share")


def strongest(results: Results) -> float:
    """Internal resistance for the largest short: of the battery warm, or of a strong one where nothing is known."""
    battery, system_v = results.plan.battery, results.network.system_v
    if battery_known(battery):
        return internal(results, cold=False)
    return given("r", f"nothing is known of the battery: {writing.stated(UNKNOWN_STRONG_OHM * 1e3, 'mΩ')} of a good, "
                      f"warm one, which drives the most, {SCALED}", strongest_ohm(battery, system_v), "ohm",
                 "common practice, no source")


def rotor(results: Results, row: int) -> float:
    """Speed of the alternator's rotor."""
    alternator, condition = results.plan.alternator, results.network.conditions[row]
    name = results.network.condition_ids[row]
    engine = entered("N", f"engine speed in '{name}'", float(condition.engine), "rpm", f"condition.{name}.engine, or "
                                                                                       "built in")
    if alternator is None or alternator.pulley_ratio is None:
        ratio = given("i", "pulley ratio, none being given: an old V-belt drive, on the low side", PULLEY_RATIO, "-",
                      "common practice, no source")
    else:
        ratio = entered("i", "pulley ratio", alternator.pulley_ratio, "-", "alternator.pulley_ratio")
    return float(apply(rotor_speed, engine=engine, ratio=ratio))


def available(results: Results, row: int) -> float:
    """Hot output of the alternator in a condition."""
    alternator, condition = results.plan.alternator, results.network.conditions[row]
    if alternator is None or condition.state != "running":
        return given("Iₐ", "no alternator in the plan" if alternator is None else "the engine is not running", 0.0, "A",
                     "the plan")
    machine, speed = machine_of(alternator), rotor(results, row)
    cold = given("I₁", f"output at {writing.worked(speed)} r/min of the rotor, straight line between the points; "
                       f"{machine.basis}",
                 float(machine.cold_a(speed)), "A", machine.basis)
    if machine.measured or not machine.known:
        return cold
    factor = given("h", f"hot over cold output at {writing.worked(speed)} "
                        f"r/min", float(alternators.hot_factor(speed)), "-",
                   alternators.hot_source().line())
    return float(apply(hot_output, cold=cold, factor=factor))


def rated(results: Results) -> float:
    """Rated output."""
    alternator = results.plan.alternator
    basis = machine_of(alternator).basis
    return given("Iᵣ", f"rated output; {basis}", results.source.rated_a, "A", "the plan, alternator")


def regulator_voltage(results: Results) -> float:
    """Regulator voltage at its temperature."""
    alternator, scale = results.plan.alternator, results.network.system_v / 12.0
    if alternator is None:
        return given("U", f"no alternator in the plan: the middle of the published regulator voltages, {SCALED}",
                     results.source.regulator_v, "V", alternators.regulator_20_c_v().source.line())
    if alternator.regulator_voltage is not None:
        at_20 = entered("U₁", "regulator voltage at 20 °C", float(alternator.regulator_voltage), "V",
                        "alternator.regulator_voltage")
    else:
        at_20 = given("U₁", f"regulator voltage at 20 °C, {SCALED}", REGULATOR_V * scale, "V",
                      alternators.regulator_20_c_v().source.line())
    if alternator.slope is not None:
        slope = entered("c", "change of the regulator voltage", alternator.slope, "V/K", "alternator.slope")
    else:
        found = alternators.regulator_slope()
        slope = given("c", f"change of the regulator voltage, {SCALED}", found.value * scale, "V/K",
                      found.source.line())
    warm = alternator.regulator_temperature
    at = given("T", "temperature of the regulator" if warm is not None else "temperature of the regulator, none given",
               REGULATOR_C if warm is None else float(warm), "°C",
               "the plan, alternator.regulator_temperature" if warm is not None else "the reference temperature")
    return float(apply(regulated_voltage, regulator_voltage=at_20, slope=slope, temperature=at))


def bus(results: Results, solution: Solution, row: int) -> float:
    """Battery post: held by the regulator, floating where output meets demand, or following the battery."""
    network = results.network
    condition = row % len(network.conditions)
    name, output = network.condition_ids[condition], float(results.source.available_a[condition])
    delivered, drawn = float(solution.alternator_a[row]), float(solution.battery_a[row])
    if output > 0 and delivered < output * (1.0 - 1e-6):
        terminal = regulator_voltage(results)
        note("w", f"the alternator holds its own terminal: {writing.worked(delivered)} A of {writing.worked(output)} A "
                  "are asked of it", "regulated",
             "-", "how the solver treats the machine: an ideal regulated source up to its hot output")
        node = network.alternator
        lost = path_work.both_drops(results, solution, row, node)
        given("ΔU", "negative: current flows towards the post, which lies below the terminal by this", -lost, "V",
              "sign of the current")
        return float(apply(voltage_at_load, supply_v=terminal, drop_v=-lost))
    if output > 0 and abs(drawn) < 1e-3 * max(output, 1.0):
        given("Iₐ", "the machine gives all it can, and the battery neither gives nor takes", delivered, "A",
              "how the solver treats the machine")
        total("I", "demand of all that is on", [("loads, coils and standby", float(delivered + drawn))], "A")
        return solved("U", f"voltage at which demand equals output in '{name}', above the battery's own",
                      float(solution.root_v[row]), "V", solution)
    emf = open_circuit(results)
    ohm = internal(results, network.conditions[condition].state == "crank")
    current = solved("I", f"current out of the battery in '{name}', the alternator giving {writing.worked(delivered)} "
                          "A", drawn, "A",
                     solution)
    return float(apply(terminal_voltage, emf_v=emf, internal_ohm=ohm, current_a=current))


