"""What is changed from the screen of the looms: what becomes of a wire, wires made longer, the change log."""

from __future__ import annotations

from collections.abc import Callable

from textual.content import Content

from fuseplan.errors import FuseplanError
from fuseplan.looms.change_log import CHANGED
from fuseplan.looms.extending import together
from fuseplan.papers.harmless import shown
from fuseplan.plan.nets import GONE, PinId
from fuseplan.plan.part_names import in_words, pin_words
from fuseplan.quantities import writing
from fuseplan.tui.screens.base import PlanScreen
from fuseplan.tui.screens.dialogs import Answer, Ask, Choose
from fuseplan.tui.screens.pages import Page
from fuseplan.workspace import looms

NO_PIN = "This wire ends on no pin: Enter opens it. What becomes of a wire is said at the pin of a connector"


class LoomChanges(PlanScreen[None]):
    """The part of that screen that changes the plan."""

    @property
    def at(self) -> PinId | None:
        """The pin under the cursor; the screen itself says which."""
        return None

    def say_no_pin(self) -> None:
        """What is asked for is of pins, and the cursor is on none."""
        self.say(NO_PIN)

    def action_fate(self) -> None:
        """Ask what becomes of the wire, and why where it is changed."""
        at = self.at
        if at is None:
            self.say_no_pin()
            return
        now = at.of(self.session.plan).fate
        answers = [Answer(fate, fate.replace("_", " "), words) for fate, words in looms.FATE_WORDS.items()]

        def chosen(fate: str) -> None:
            if fate == now and fate != "join":
                return
            if fate == "join":
                self._ask_joined(at, lambda to: ask_why(fate, to))
            elif fate in CHANGED:
                ask_why(fate, None)
            else:
                take(fate, "", None)

        def ask_why(fate: str, to: PinId | None) -> None:
            self.program.ask(Ask(f"{pin_words(self.session.plan, at)}: {fate.replace('_', ' ')}", "",
                                 "Why? For the change log; may stay empty"), lambda why: take(fate, why, to))

        def take(fate: str, why: str, to: PinId | None) -> None:
            joined = "" if to is None else f" to {pin_words(self.session.plan, to)}"
            self.program.attempt(lambda: looms.set_fate(self.session, at, fate, why.strip(), to),
                                 f"{pin_words(self.session.plan, at)}: {fate.replace('_', ' ')}{joined}; Ctrl+Z "
                                 "takes it back")
            self.refresh_plan()

        self.program.ask(Choose(f"What becomes of {pin_words(self.session.plan, at)}?", answers, current=now), chosen)

    def _ask_joined(self, at: PinId, then: Callable[[PinId | None], None]) -> None:
        """Ask which pin's wire it is joined to; what is no pin of the plan is entered in the form."""
        found = looms.join_choices(self.session, at)
        answers = [Answer(str(number), shown(pin_words(self.session.plan, there)), shown(words))
                   for number, (there, words) in enumerate(found)]
        answers.append(Answer("later", "something else", "enter it in the form of this pin; until then it is open"))

        self.program.ask(Choose(f"{pin_words(self.session.plan, at)}: joined to the wire of", answers),
                         lambda answer: then(None if answer == "later" else found[int(answer)][0]))

    def action_longer(self) -> None:
        """Ask which wires and how far, show what that means, and put it into the plan where it is wanted."""
        at = self.at
        if at is None:
            self.say_no_pin()
            return
        pins = self.session.plan.connector[at.connector].pin
        alone = together(self.session.plan, at)
        whole = [PinId(at.connector, number) for number, pin in pins.items() if pin.fate not in GONE]
        plan = self.session.plan
        partners = f"with its pair and shield: {len(alone)} wires" if len(alone) > 1 else pin_words(plan, at)
        answers = [Answer("plug", "the whole plug", f"{writing.counted(len(whole), 'wire')} of "
                                                    f"{in_words(plan, 'connector', at.connector)}")]
        if at in whole:
            answers.insert(0, Answer("wire", "this wire", partners))

        def which(word: str) -> None:
            self.program.ask(
                Ask("Longer by", "", "How far the plug moves, along the way of the loom, for example 40 cm"),
                lambda text: offer(alone if word == "wire" else whole, text))

        def offer(chosen: list[PinId], text: str) -> None:
            try:
                found = looms.Lengthening(self.session, chosen, text)
            except FuseplanError as error:
                self.say(f"✗ {error}")
                return
            words = "\n\n".join(map(shown, found.words))
            self.app.push_screen(Page("Made longer", Content(words)), lambda _: ask(found))

        def ask(found: looms.Lengthening) -> None:
            self.program.ask(
                Ask(f"Make {writing.counted(len(found.wires), 'wire')} longer?", "",
                    "Why? For the change log; may stay empty. Enter puts it into the plan, Esc leaves it"),
                lambda why: take(found, why))

        def take(found: looms.Lengthening, why: str) -> None:
            self.program.attempt(lambda: found.take(why.strip()),
                                 f"{writing.counted(len(found.wires), 'wire')} made longer; Ctrl+Z takes it back")
            self.refresh_plan()

        self.program.ask(Choose("Make longer", answers), which)

    def action_write_log(self) -> None:
        """Write the lines that are missing in the change log."""
        count = 0

        def write() -> None:
            nonlocal count
            count = looms.write_log(self.session)

        if self.program.attempt(write):
            self.say(f"{count} lines written in the change log" if count else "Every changed wire is in the change log")
        self.refresh_plan()
