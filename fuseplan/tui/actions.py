"""Every action of the screens, once: keys, footer, menu, help and command palette are all made from this list."""

from __future__ import annotations

from typing import Literal

from textual.binding import Binding, BindingType

from fuseplan.records import dataclass

Where = Literal["everywhere", "main", "circuits", "form", "library", "working", "supply", "report", "measure",
                "limit_sets", "proposal", "devices", "papers", "looms", "bench", "ready", "summary"]
"""`main`: all the numbered screens, where letters are keys because nothing is typed there."""


@dataclass(frozen=True)
class Action:
    """One thing the user can do.

    Attributes:
        name: method ``action_NAME`` of the screen or the program
        keys: as Textual names them, the one to show first; none where the menu of all actions is the only way
        label: a word or two for the footer
        words: a sentence for help and menu
        footer: place in the footer from left to right; 0: not in the footer
        show: the key as it is printed, where the name is no good
        singly: whether a key held down must not do it more than once: right after itself it asks first
    """

    where: Where
    name: str
    keys: tuple[str, ...]
    label: str
    words: str
    footer: int = 0
    show: str = ""
    singly: bool = False

    @property
    def key(self) -> str:
        """The first key as it is printed; empty without one."""
        return self.show or (key_words(self.keys[0]) if self.keys else "")


_KEY_WORDS = {"question_mark": "?", "exclamation_mark": "!", "slash": "/", "escape": "Esc", "enter": "Enter",
              "delete": "Del", "shift+up": "Shift+↑", "shift+down": "Shift+↓", "ctrl+up": "Ctrl+↑",
              "ctrl+down": "Ctrl+↓", "up": "↑", "down": "↓", "tab": "Tab"}


def key_words(key: str) -> str:
    """A key as it is printed on the keyboard."""
    if key in _KEY_WORDS:
        return _KEY_WORDS[key]
    if len(key) == 1:
        return key
    head, plus, last = key.rpartition("+")
    last = last.upper() if len(last) == 1 or (last[:1] == "f" and last[1:].isdigit()) else last.capitalize()
    return f"{head.capitalize()}{plus}{last}"


ACTIONS: tuple[Action, ...] = (
    Action("circuits", "edit", ("enter",), "edit", "Open the form of the circuit under the cursor", 1),
    Action("circuits", "add", ("a", "insert"), "add", "Add a circuit from the library, behind this one", 2),
    Action("circuits", "add_empty", ("A",), "new", "Add an empty circuit"),
    Action("circuits", "duplicate", ("c",), "copy", "Duplicate the circuit", 5, singly=True),
    Action("circuits", "rename", ("f2", "r"), "rename", "Rename the circuit", 6),
    Action("circuits", "delete", ("delete", "d"), "delete", "Delete the circuit; undo brings it back", 7,
           singly=True),
    Action("circuits", "move_up", ("shift+up", "K"), "up", "Move the circuit up in the plan"),
    Action("circuits", "move_down", ("shift+down", "J"), "down", "Move the circuit down in the plan"),
    Action("circuits", "next_finding", ("n", "f3"), "next finding", "Go to the next finding, worst first", 3),
    Action("circuits", "previous_finding", ("N",), "previous finding", "Go back to the finding before"),
    Action("circuits", "go_to_field", ("g",), "to its field", "Go to what fixes the finding, or to what is asked", 4),
    Action("circuits", "confirm_role", ("y",), "confirm role", "Confirm what circuits are for, where the plan "
           "leaves it to their names"),
    Action("circuits", "filter", ("slash", "ctrl+f"), "filter", "Show only circuits that hold certain words", 8),
    Action("circuits", "sort", ("o",), "sort", "Sort by a column; a click on its heading does the same"),
    Action("circuits", "show_all", ("x",), "show all", "Drop filter and sorting"),
    Action("form", "close", ("escape",), "back", "Back to where you came from", 1),
    Action("form", "choices", ("f4",), "choices", "Show what the field may be set to", 2),
    Action("form", "next_part", ("ctrl+down", "f8"), "next part", "Go to the next part of the form", 3, "F8"),
    Action("form", "previous_part", ("ctrl+up", "f7"), "part before", "Go to the part before", 0, "F7"),
    Action("form", "next_finding", ("f3",), "next finding", "Go to the next finding here, then to what is asked", 4),
    Action("form", "part_menu", ("f6",), "part …", "Move, copy or remove the part the cursor is in, or the whole", 5),
    Action("form", "next_alike", ("ctrl+n", "ctrl+pagedown"), "next", "The form of the next circuit, feed …", 6),
    Action("form", "previous_alike", ("ctrl+b", "ctrl+pageup"), "previous", "The form of the one before"),
    Action("form", "rename", ("f2",), "rename", "Rename the circuit, feed … of this form"),
    Action("form", "propose_field", ("ctrl+t",), "propose", "Use the value proposed for this field", 5),
    Action("form", "confirm_role", (), "confirm role", "Confirm what the circuit is for, where the plan "
           "leaves it to its name"),
    Action("form", "working", ("f9",), "working", "Show the arithmetic behind the figures of this part", 5),
    Action("library", "close", ("escape",), "back", "Back without adding", 1),
    Action("library", "take", ("enter",), "add it", "Add the circuit shown to the plan", 2),
    Action("working", "close", ("escape",), "back", "Back to where you came from", 1),
    Action("working", "alone", ("enter",), "whole screen",
           "Show the working on the whole screen, or bring the list back", 2),
    Action("working", "other_part", ("f4",), "another part", "Show the figures of another part of the car", 3),
    Action("main", "working", ("w",), "working", "Show the arithmetic behind the figures of the part under the cursor",
           4),
    Action("supply", "edit", ("enter",), "edit", "Open the form of the feed, earth point or fuse under the cursor", 1),
    Action("supply", "add", ("a", "insert"), "add", "Add a feed, an earth point or a fuse box", 2),
    Action("supply", "rename", ("f2", "r"), "rename", "Rename the feed, earth point or fuse box under the cursor"),
    Action("supply", "delete", ("delete", "d"), "delete", "Delete the feed, earth point or fuse box under the cursor",
           5, singly=True),
    Action("supply", "other_table", ("t",), "headroom/live", "Below: what the feed has left in each condition, or "
           "which circuit is live when", 3),
    Action("supply", "close", ("escape",), "back", "Back to the circuits", 1),
    Action("report", "close", ("escape",), "back", "Back to the circuits", 1),
    Action("report", "edit", ("enter",), "edit", "Open the form: charging, of the alternator; protection, of the "
           "circuit", 2),
    Action("report", "copy", ("y",), "copy as text", "Copy the report as plain text", 3),
    Action("report", "other(-1)", ("left",), "circuit before", "Protection: the circuit before"),
    Action("report", "other(1)", ("right",), "next circuit", "Protection: the next circuit"),
    Action("main", "choose_screen", ("0",), "screens", "Choose a screen: circuits, feeds, charging, protection …", 4),
    Action("measure", "close", ("escape",), "back", "Back; while sampling: stop it", 1),
    Action("measure", "to_field", ("enter",), "its field", "Go to the field the reading is typed into", 2),
    Action("measure", "sample", ("r",), "samples", "Sample the currents and say how often each check fails", 3),
    Action("measure", "copy", ("y",), "copy as text", "Copy the list and the samples as plain text"),
    Action("limit_sets", "close", ("escape",), "back", "Back to the circuits", 1),
    Action("limit_sets", "to_circuit", ("enter",), "edit", "Open the form of the circuit under the cursor", 2),
    Action("limit_sets", "disagreements", ("f",), "only ≠",
           "Show only circuits with different verdicts, or all again", 3),
    Action("limit_sets", "choose_limits", ("c",), "choose", "Choose the limits this plan is checked against", 3),
    Action("limit_sets", "copy", ("y",), "copy as text", "Copy the comparison as plain text"),
    Action("proposal", "close", ("escape",), "back", "Back; while proposing: stop it", 1),
    Action("proposal", "take", ("enter",), "apply", "Apply the change under the cursor, or go to the field "
           "that fixes what is left", 2),
    Action("proposal", "take_all", ("a",), "apply all", "Apply all changes; one undo undoes them all", 3),
    Action("proposal", "again", ("f5", "r"), "anew", "Propose anew for the plan as it is now", 3),
    Action("devices", "close", ("escape",), "back", "Back to the circuits", 1),
    Action("devices", "picture", ("enter",), "picture", "Show time against current for the circuit", 2),
    Action("devices", "to_fuse", ("g",), "its fuse", "Go to the fuse in the form", 3),
    Action("devices", "copy", ("y",), "copy as text", "Copy the table as plain text"),
    Action("papers", "close", ("escape",), "back", "Back to the circuits; while writing: stop it", 1),
    Action("papers", "tick", ("space",), "tick", "Choose the paper under the cursor, or leave it out", 2, "Space"),
    Action("papers", "read", ("enter",), "read", "Read the paper under the cursor on the whole screen", 3),
    Action("papers", "write", ("e",), "write", "Write the papers ticked into a folder", 3),
    Action("papers", "view", ("o",), "view", "Open the paper under the cursor as it was written, in the system's "
           "viewer", 4),
    Action("papers", "choose_formats", ("f",), "formats", "Choose the formats: PDF, HTML, spreadsheet …", 3),
    Action("papers", "tick_all", ("a",), "all/none", "Tick all papers, or none"),
    Action("papers", "first_label", ("n",), "first label", "Say which label of the sheet in the printer is the first "
           "free one"),
    Action("looms", "close", ("escape",), "back", "Back to the circuits", 1),
    Action("looms", "edit", ("enter",), "edit", "Open the form of the pin under the cursor", 2),
    Action("looms", "next_open", ("n",), "next open", "Go to the next thing that blocks power: pins to find out, first "
           "what blocks most, then what is to be settled", 3),
    Action("looms", "order", ("o",), "sort", "Sort by connector, by function, by what becomes of the wire", 3),
    Action("looms", "other_end", ("g",), "other end", "Go to the other end of the wire, and on to the next", 3),
    Action("looms", "fate", ("f",), "becomes …", "Decide what becomes of the wire, with its line in the change log", 3),
    Action("looms", "longer", ("e",), "longer", "Make this wire or the whole plug longer", 4),
    Action("looms", "merge", ("m",), "merge", "What car and engine need of each other, and what the looms offer", 4),
    Action("looms", "filter", ("slash", "ctrl+f"), "filter", "Show only pins that hold certain words", 4),
    Action("looms", "show_all", ("x",), "show all", "Drop the filter"),
    Action("looms", "write_log", ("c",), "log", "Write the lines that are missing in the change log"),
    Action("looms", "add", ("a", "insert"), "add", "Add a connector, a loom or a pin; tables of pins can be pasted", 5),
    Action("looms", "delete", ("delete", "d"), "delete", "Delete the pin under the cursor; undo brings it back",
           singly=True),
    Action("looms", "copy", ("y",), "copy as text", "Copy the report on the looms as plain text"),
    Action("bench", "close", ("escape",), "back", "Back to the circuits", 1),
    Action("bench", "sections", ("f4",), "section", "Choose a section: before power, first power, cranking …", 2),
    Action("bench", "next_unread", ("ctrl+n",), "next unread", "Go to the next required row that has not been read", 3),
    Action("bench", "accept", ("f9",), "take over", "Let the plan take over the reading: a current becomes its load's, "
           "a drop becomes a resistance", 4),
    Action("bench", "ready", ("f6",), "ready?", "Show what is open before the battery is connected, before cranking …",
           5),
    Action("bench", "diagnose", ("ctrl+t",), "diagnose", "Say what the readings of this row's circuit mean, and what "
           "to read next", 6),
    Action("bench", "next_section", ("f8", "ctrl+down"), "next section", "Go to the next section"),
    Action("bench", "previous_section", ("f7", "ctrl+up"), "section before", "Go to the section before"),
    Action("bench", "remove_reading", ("ctrl+b",), "remove", "Remove the reading of this row", singly=True),
    Action("bench", "to_form", (), "its form", "Open the form of the part of this row"),
    Action("ready", "close", ("escape",), "back", "Back to the test sheet", 1),
    Action("ready", "go", ("enter",), "go there", "Go to where it is settled; what is signed for: sign",
           2),
    Action("ready", "copy", ("y",), "copy as text", "Copy the list as plain text", 3),
    Action("summary", "close", ("escape",), "circuits", "On to the circuits", 1),
    Action("summary", "go", ("enter",), "go there", "Go to the part of the plan the line is about", 2),
    Action("summary", "list_all", ("x",), "list all", "List every finding and question, or the first few again", 5),
    Action("summary", "copy", ("y",), "copy as text", "Copy the summary as plain text"),
    Action("main", "propose", ("p",), "propose", "Propose wire, fuse and relay for the circuit under the cursor, where "
           "there is none for the whole plan", 4),
    Action("main", "propose_all", ("P",), "propose all", "Propose for the whole plan"),
    Action("main", "go_summary", ("s",), "summary", "Screen s: what to do first, what is not said, does it start and "
           "charge", 15),
    Action("main", "go_circuits", ("1",), "circuits", "Screen 1: the circuits"),
    Action("main", "go_supply", ("2",), "feeds", "Screen 2: feeds, earth points, what is live when", 15),
    Action("main", "go_charging", ("3",), "charging", "Screen 3: demand against the alternator's output, battery", 16),
    Action("main", "go_protection", ("4",), "protection", "Screen 4: time against current for one circuit", 17),
    Action("main", "go_bench", ("5",), "bench", "Screen 5: the test sheet, readings beside the car", 17),
    Action("main", "go_papers", ("6",), "papers", "Screen 6: papers to build from and to leave in the car", 17),
    Action("main", "go_limit_sets", ("7",), "limits", "Screen 7: the plan by every published set of limits", 18),
    Action("main", "go_measure", ("8",), "measure", "Screen 8: what to measure first", 19),
    Action("main", "go_devices", ("9",), "fuses", "Screen 9: every fuse in a short, and which of two blows first", 20),
    Action("main", "go_looms", ("L",), "looms", "Screen L: plugs and pins of the looms, what is unknown, what to probe "
           "first", 21),
    Action("main", "show_help", ("question_mark",), "keys", "Show this help"),
    Action("main", "show_cautions", ("exclamation_mark",), "cautions", "Show the safety cautions", 9),
    Action("main", "undo", ("u",), "undo", "Undo the last change", 10),
    Action("main", "redo", ("U",), "redo", "Do again what was undone"),
    Action("main", "ask_quit", ("q",), "quit", "Leave the program; asks when something is not saved"),
    Action("main", "edit_car", ("v",), "car …", "Open the form of the vehicle, battery, alternator, a feed …", 11),
    Action("everywhere", "save", ("ctrl+s",), "save", "Write the plan to its file", 12),
    Action("everywhere", "save_as", ("f12",), "save as", "Write the plan to another file"),
    Action("everywhere", "compare_plan", (), "compare", "Compare with another file of the plan: what changed, and "
           "which verdicts with it"),
    Action("everywhere", "import_list", (), "import", "Take a list of loads, wires or pins (CSV, XLSX) or a harness "
           "(KBL), after a look at what it would change"),
    Action("everywhere", "refresh", ("f5", "ctrl+l"), "refresh",
           "Read the file again if it was changed, repaint the screen"),
    Action("everywhere", "next_waiting", ("ctrl+o",), "entry with an error", "Go to the next entry with an error; a "
           "click on their number at the top does the same"),
    Action("everywhere", "undo", ("ctrl+z",), "undo", "Undo the last change"),
    Action("everywhere", "redo", ("ctrl+y", "ctrl+r"), "redo", "Do again what was undone"),
    Action("everywhere", "show_help", ("f1",), "help", "Show this help", 13),
    Action("main", "show_guide", ("i",), "first steps", "Show the first steps again"),
    Action("everywhere", "show_cautions", ("ctrl+g",), "cautions", "Show the safety cautions"),
    Action("everywhere", "menu", ("f10",), "all actions", "Show everything that can be done here", 14),
    Action("main", "other_theme", ("l",), "light/dark", "Change between the dark and the light theme"),
    Action("everywhere", "other_theme", (), "light/dark", "Change between the dark and the light theme"),
    Action("everywhere", "ask_quit", ("ctrl+q",), "quit", "Leave the program; asks when something is not saved"),
)

SECTIONS: dict[Where, tuple[Where, ...]] = {
    "circuits": ("circuits", "main", "everywhere"),
    "form": ("form", "everywhere"),
    "library": ("library", "everywhere"),
    "working": ("working", "everywhere"),
    "supply": ("supply", "main", "everywhere"),
    "report": ("report", "main", "everywhere"),
    "measure": ("measure", "main", "everywhere"),
    "limit_sets": ("limit_sets", "main", "everywhere"),
    "proposal": ("proposal", "main", "everywhere"),
    "devices": ("devices", "main", "everywhere"),
    "papers": ("papers", "main", "everywhere"),
    "looms": ("looms", "main", "everywhere"),
    "bench": ("bench", "everywhere"),
    "ready": ("ready", "everywhere"),
    "summary": ("summary", "main", "everywhere"),
    "main": ("main", "everywhere"),
    "everywhere": ("everywhere",),
}
"""Which parts of the list hold on a screen, in the order help shows them."""


def actions_of(where: Where) -> list[Action]:
    """All actions of a screen; one that can be called in two ways is there once."""
    found: dict[str, Action] = {}
    for section in SECTIONS[where]:
        for action in ACTIONS:
            if action.where == section:
                found.setdefault(action.name, action)
    return list(found.values())


def bindings(*parts: Where) -> list[BindingType]:
    """The key bindings of some parts of the list, for a screen or the program."""
    return [Binding(key, f"{'app.' if part in ('main', 'everywhere') else ''}{action.name}", action.label, show=False)
            for part in parts for action in ACTIONS if action.where == part for key in action.keys]


SINGLY = {action.name: action for action in ACTIONS if action.singly}
"""What a key held down must not do more than once; alike named ones are alike in this on every screen."""


def screen_words(go: str) -> str:
    """Number and name of a numbered screen by the action that goes to it: ``2 feeds``."""
    found = next(action for action in ACTIONS if action.name == go)
    return f"{found.key} {found.label}"


def footer(where: Where) -> list[Action]:
    """What the footer shows, from left to right."""
    return sorted((action for action in actions_of(where) if action.footer), key=lambda action: action.footer)
