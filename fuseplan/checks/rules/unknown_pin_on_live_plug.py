"""It is not known what every wire of a plug does, and the plug shares a live feed with it.

Nothing is guessed: a pin that is unknown may be an earth, a sensor or the output of a control unit. Until it is known,
or cut off and insulated, the plugs that share its feed get no power.
"""

from __future__ import annotations

from collections.abc import Iterator

from fuseplan.checks.pins import pin_path
from fuseplan.checks.role_questions import connector_left_alone
from fuseplan.checks.rule import Finding, Rule
from fuseplan.engine.results import Results
from fuseplan.plan.part_names import in_words
from fuseplan.plan.unknown_pins import blocking
from fuseplan.quantities.listing import first_few

_SHOWN = 3


def find(rule: Rule, results: Results) -> Iterator[Finding]:
    if not results.plan.connector:
        return
    nets = results.network.nets
    for blocked in blocking(nets):
        own = [each for each in blocked.because if each.at.connector == blocked.connector]
        reasons = own or list(blocked.because)
        shown = first_few(reasons, _SHOWN, lambda each: each.words(results.plan), "; ", "; and ")
        first = reasons[0]
        named = connector_left_alone(results.plan, first.at.connector)
        alone = nets.off_limits(first.at) if first.at.pin else ""
        yield rule.finding(
            results, ("connector", blocked.connector),
            fix=f'do not probe it: enter out_of_scope = "{named}" at '
            f"{in_words(results.plan, 'connector', first.at.connector)}, or correct its name" if named is not None else
            f"no meter and no splice, as it is on {alone}: follow the maker's own procedure" if alone else None,
            message=f"no power on {in_words(results.plan, 'connector', blocked.connector)} yet: {shown}",
            fields=(pin_path(first.at, "fate") if first.at.pin else f"connector.{first.at.connector}.cavities",))


RULE = Rule(
    consequence="burns",
    title="Unknown pin on a live plug",
    source="common practice, no source",
    caution="A live feed on the wrong wire burns it, or destroys the control unit at its end.",
    fix="probe the pin and enter what it is and how that is known, or cut the wire off, insulate its end and enter "
        "that",
    example="fails: a pin of which only the colour is entered; passes: every pin measured",
    find=find,
)
