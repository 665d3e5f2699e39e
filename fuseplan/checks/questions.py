"""The questions a plan is asked: each looks for one kind of thing that is not said."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fuseplan.checks.bundle_question import bundles_asked
from fuseplan.checks.coil_questions import coil_wires_asked
from fuseplan.checks.contact_question import breaking_asked, positions_asked, sockets_asked
from fuseplan.checks.cut_offs import driven_by_unit, relay_where_named, starting, to_be_cut_off, unit_where_named
from fuseplan.checks.earth_question import earth_wires_asked
from fuseplan.checks.feed_question import feed_wires_asked
from fuseplan.checks.flasher_question import flashers_asked
from fuseplan.checks.isolators import hand_switched, opens_more
from fuseplan.checks.not_said import NotSaid, Question
from fuseplan.checks.role_questions import (
    diesel_pumps_asked,
    out_of_scope_asked,
    roles_asked,
    roles_named_otherwise_asked,
)
from fuseplan.checks.second_battery import far_ends, not_described
from fuseplan.checks.strap_question import straps_asked
from fuseplan.checks.subjects import fuse_path, fuse_subject
from fuseplan.checks.switch_questions import closed_when_asked, switches_asked, unswitched_asked, unswitched_feeds_asked
from fuseplan.checks.terminal_question import contacts_asked, terminals_asked
from fuseplan.checks.whole_car import whole_car_asked
from fuseplan.checks.zone_question import zones_asked
from fuseplan.engine.at_limit import at_most, exceeds
from fuseplan.engine.clearing import limits
from fuseplan.engine.compiled_plan import FuseRow
from fuseplan.engine.network import Network
from fuseplan.engine.noting import of_fuses
from fuseplan.engine.results import Results
from fuseplan.engine.source import battery_known
from fuseplan.engine.stock import MOST_BLADE_A
from fuseplan.engine.unprinted_times import greatest_time_of, may_be_stated
from fuseplan.plan.feed_way import way_to
from fuseplan.plan.model import Alternator
from fuseplan.plan.part_names import in_words
from fuseplan.quantities import writing
from fuseplan.tables.fuses import kind_words

_FUSE_OR_COVER = "the fuse in its cable, or the length and cover of a cable without one"


def cut_offs_asked(results: Results) -> Iterator[NotSaid]:
    """What stops a petrol pump when the engine stands still, and where the control unit or relay is that is said to.
    A unit that drives no relay of it is a danger, and not asked for besides."""
    network = results.network
    for number in to_be_cut_off(results):
        if network.circuits[number].cut_off is None:
            what, kind = "what stops the petrol pump with the key on and the engine still (cut_off)", "cut_off"
        elif driven_by_unit(results, number) and not unit_where_named(results, number):
            what, kind = "what stops the petrol pump with the engine (cut_off): it names a control unit for that, " \
                         "and no circuit of the plan supplies one (role engine_control_unit)", "cut_off_unit"
        elif not relay_where_named(results, number):
            what, kind = "what stops the petrol pump (cut_off): it names a relay that holds while the engine turns, " \
                         "and neither the pump nor a feed before it has a relay", "cut_off_relay"
        else:
            continue
        name = network.circuit_ids[number]
        yield NotSaid("circuit", name, what, "a pump that runs on after a crash feeds a fire", kind,
                      f"circuit.{name}.cut_off", True)


def interlocks_asked(results: Results) -> Iterator[NotSaid]:
    """What keeps the starter from turning with a gear engaged."""
    for number in starting(results):
        if results.network.circuits[number].interlock is None:
            name = results.network.circuit_ids[number]
            yield NotSaid("circuit", name, "what keeps the starter from turning with a gear engaged: a neutral switch, "
                          "a clutch switch (interlock)", "a car that starts in gear jumps forward", "interlock",
                          f"circuit.{name}.interlock", False)


def second_batteries_asked(results: Results) -> Iterator[NotSaid]:
    """The battery at the far end of a charging wire, and how far its fuse is from its post."""
    for number in not_described(results):
        name = results.network.circuit_ids[number]
        yield NotSaid("circuit", name, "the second battery at the far end of its wire, and the fuse there "
                      "(second_battery)", "a second battery feeds a short in the wire from its own end",
                      "second_battery", f"circuit.{name}.second_battery.fuse.kind", True)
    for end in far_ends(results):
        if end.fitted.fuse is not None and end.fitted.fuse.distance is None:
            yield NotSaid("circuit", end.circuit, "how far the fuse at the second battery is from its post, along the "
                          "wire", "nothing protects the wire between a battery and its fuse", "far_fuse",
                          f"circuit.{end.circuit}.second_battery.fuse.distance", True)


def fuse_places_asked(results: Results) -> Iterator[NotSaid]:
    """How far a fuse is from its source: of the first one from the battery that is a question of safety, as nothing
    protects the wire before it."""
    yield from of_fuses(results.network, _place_asked).values()


def _place_asked(network: Network, device: int) -> NotSaid | None:
    row = network.fuses[device]
    if row.fuse.distance is not None or row.fuse.position is not None:
        return None
    kind, name = fuse_subject(row)
    first = _is_first(network, row)
    if first:
        what = "how far its fuse is from where it is fed, along the wire"
        why = "nothing protects the wire before the first fuse: a short in it burns until the battery is flat"
    else:
        what = "where its fuse is: the position in a fuse box, or its distance from the feed"
        why = "the wire before it is protected only by the larger fuse before it"
    return NotSaid(kind, name, what, why, "first_fuse" if first else "fuse_place", fuse_path(row, "distance"), first)


def clearing_asked(results: Results) -> Iterator[NotSaid]:
    """When a device blows of which no opening times answer at the least a short draws; where the battery is not known
    either, it is asked for first (`checks/whole_car.py`). Safety does not rest on a fuse that may as well be left
    out."""
    faults, rating = results.faults, results.fusing.rating_a
    why = "a short that does not blow its fuse burns the wire"
    silent = [index for index in np.flatnonzero(np.isnan(faults.fuse_opens_s) & np.isfinite(faults.fuse_far_a)).tolist()
              if may_be_stated(results.network.fuses[index].fuse) and np.isfinite(rating[index])]
    if silent and not battery_known(results.plan.battery):
        silent = []
    for index in silent:
        row = results.network.fuses[index]
        kind, name = fuse_subject(row)
        times = writing.limit(faults.fuse_far_a[index] / rating[index], "factor")
        on_file = "no times of its type are on file" if limits(row.fuse.kind, float(rating[index])) is None else \
            "the times of its type on file end before a short"
        yield NotSaid(kind, name, "at what multiple of its rating its fuse blows within 5 s, from its maker's sheet "
                      f"(blows_at): {on_file}", why, "clearing", fuse_path(row, "blows_at"),
                      not results.fusing.against_shorts[index],
                      f"{kind_words(row.fuse.kind)} {writing.rating(float(rating[index]))}, {times} times that in a "
                      "short")
    for end in far_ends(results):
        fuse = end.fitted.fuse
        if fuse is not None and fuse.rating is not None and may_be_stated(fuse) and np.isfinite(end.least_a) \
                and np.isnan(greatest_time_of(fuse, float(fuse.rating), end.least_a)):
            words, times = kind_words(fuse.kind), writing.limit(end.least_a / float(fuse.rating), "factor")
            yield NotSaid("circuit", end.circuit, f"at what multiple of its rating the {words} at the second battery "
                          "blows within 5 s, from its maker's sheet (blows_at)", why, "clearing",
                          f"circuit.{end.circuit}.second_battery.fuse.blows_at", True,
                          f"{words} {writing.rating(float(fuse.rating))} at the second battery, {times} times that in "
                          "a short")


def _is_first(network: Network, row: FuseRow) -> bool:
    """Whether no other fuse lies between this one and the battery."""
    plan = network.plan
    kind, name = row.owner
    before = plan.circuit[name].feed if kind == "circuit" else plan.feed[name].upstream if kind == "feed" else \
        plan.alternator.feed if plan.alternator is not None else None
    return before is None or before not in network.feed_node or \
        int(network.guard[network.feed_node[before]]) < 0


def bare_cables_asked(results: Results) -> Iterator[NotSaid]:
    """Cables without a fuse that the plan does not describe: how long they are, and what covers them."""
    network, plan = results.network, results.plan
    why = "without a fuse it may be no longer than the limit, and covered all the way: a short in it burns until the " \
        "battery is flat"
    for name, feed in plan.feed.items():
        if feed.upstream is not None and not feed.wire and feed.fuse is None \
                and int(network.guard[network.feed_node[name]]) < 0:
            yield NotSaid("feed", name, _FUSE_OR_COVER, why, "cable", f"feed.{name}.wire", True)
    alternator = plan.alternator
    if alternator is not None and not alternator.cable and alternator.fuse is None:
        yield NotSaid("alternator", "alternator", _FUSE_OR_COVER, why, "cable", "alternator.cable", True)


def alternator_ends_asked(results: Results) -> Iterator[NotSaid]:
    """On which side of a battery isolator the alternator cable ends, where the plan does not name its feed: of those
    something else is fed through, the one nearest to the battery."""
    plan = results.plan
    if plan.alternator is None or plan.alternator.feed is not None:
        return
    handed_on = {feed.upstream for feed in plan.feed.values()} | {
        circuit.feed for circuit in plan.circuit.values() if circuit.role == "starter"}
    isolators = (name for name, feed in plan.feed.items() if name in handed_on
                 and hand_switched(plan, results.network.feed_live, name) and not opens_more(feed.switch)
                 and _takes_a_machine(results, name))
    nearest = min(isolators, key=lambda name: len(list(way_to(plan, name))), default=None)
    if nearest is not None:
        yield NotSaid(
            "alternator", "alternator", "the feed its cable ends on (feed), before or behind the switch of "
            f"{in_words(plan, 'feed', nearest)}", "behind it, with the switch open, the alternator keeps the engine, "
            "the pump and the loads alive", "alternator_feed", "alternator.feed", True)


def _takes_a_machine(results: Results, feed: str) -> bool:
    """Whether an alternator or a dynamo may charge through a feed: no fuse and no switch before it is for a few lamps
    alone."""
    parts = (part for each in way_to(results.plan, feed)
             for part in (results.plan.feed[each].fuse, results.plan.feed[each].switch))
    return all(part is None or part.rating is None or exceeds(float(part.rating), MOST_BLADE_A)
               or at_most(results.source.rated_a, float(part.rating)) for part in parts)


def exciter_asked(results: Results) -> Iterator[NotSaid]:
    """What starts the alternator's field: that of a dynamo starts by itself."""
    alternator = results.plan.alternator
    if alternator is not None and alternator.machine != "dynamo" and alternator.exciter is None \
            and not alternator.self_exciting:
        what = "what excites it: the circuit of its charge lamp (exciter), or that it needs none (self_exciting)"
        why = "without a lamp or resistor many alternators do not charge until the engine is revved"
        yield NotSaid("alternator", "alternator", what, why, "exciter", "alternator.exciter", False)


def sense_asked(results: Results) -> Iterator[NotSaid]:
    """Where the regulator senses the voltage."""
    alternator = results.plan.alternator
    if alternator is not None and alternator.sense is None:
        what = "where its regulator senses the voltage: at its own terminal, or by a lead at the battery (sense)"
        why = "sensed at its own terminal, all that the cable drops is missing at the battery"
        yield NotSaid("alternator", "alternator", what, why, "sense", "alternator.sense", False)
    elif alternator is not None and alternator.sense == "battery":
        yield from _sense_lead_asked(results, alternator)


def _sense_lead_asked(results: Results, alternator: Alternator) -> Iterator[NotSaid]:
    """The fuse and the wire of a sense lead; safety rests on them where no fuse protects the feed it ends on."""
    plan, network = results.plan, results.network
    sensed = alternator.sense_feed or next((name for name, feed in plan.feed.items() if feed.upstream is None), None)
    lead = plan.circuit.get(alternator.sense_lead or "")
    if lead is None:
        bare = sensed not in network.feed_node or int(network.guard[network.feed_node[sensed]]) < 0
        what = "the circuit of its sense lead, with its fuse at the battery end and its wire (sense_lead)"
        why = "the lead is thin and always live: without a fuse a short in it burns until the battery is flat"
        yield NotSaid("alternator", "alternator", what, why, "sense lead", "alternator.sense_lead", bare)
    elif sensed is not None and lead.feed != sensed:
        what = (f"where its sense lead ends: on {in_words(plan, 'feed', sensed)}, where it is stated to sense "
                f"(sense_feed), or on {in_words(plan, 'feed', lead.feed or '')}, where its circuit is taken from")
        why = "the regulator makes up for what is lost on the way to the point it senses, and for no more"
        yield NotSaid("alternator", "alternator", what, why, "sense lead", "alternator.sense_feed", False)


QUESTIONS: tuple[Question, ...] = (
    whole_car_asked, out_of_scope_asked, cut_offs_asked, roles_asked, roles_named_otherwise_asked, diesel_pumps_asked,
    second_batteries_asked, fuse_places_asked, bare_cables_asked, alternator_ends_asked, clearing_asked,
    switches_asked, unswitched_asked, unswitched_feeds_asked, closed_when_asked, feed_wires_asked,
    earth_wires_asked, straps_asked, coil_wires_asked, breaking_asked, sockets_asked, positions_asked,
    terminals_asked, contacts_asked, interlocks_asked, exciter_asked, sense_asked, flashers_asked, zones_asked,
    bundles_asked)
"""The worst first, before them what the whole car is judged by."""
