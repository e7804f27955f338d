"""Every key of the program, declared once.

The bindings, the footer, the help page and the README's table of keys are all made from
:data:`COMMANDS`. A command's action on a screen is ``action_<id>``.

The keys next to the answers S, D, F and 1, 2, 3 are left free on the bench, so that a gloved finger
that lands beside them does nothing.

Long, because it is one table: every key in one place is what shows a clash.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from textual.binding import Binding, BindingType
from textual.keys import format_key

HOME = "home"
FIRST = "first"
SHEET = "sheet"
BENCH = "bench"
SETTING = "setting"
CLOSING = "closing"
SESSIONS = "sessions"
SESSION = "session"
COMPARE = "compare"
WEAR = "wear"
BLADES = "blades"
HELP = "help"
CRANK = "crank"
BEFORE = "before"
HANDOVER = "handover"
SHIMS = "shims"
TORQUES = "torques"
FEEL = "feel"
FORM = "form"
BLADES_FORM = "blades_form"
START = "start"

SCREENS: dict[str, str] = {
    HOME: "Engines",
    FIRST: "Where to begin",
    SHEET: "Sheet",
    START: "Before",
    BEFORE: "Before, the rest",
    CRANK: "Crank position",
    BENCH: "Bench",
    SETTING: "Setting",
    SHIMS: "Shims",
    TORQUES: "Torques",
    CLOSING: "Closing up",
    HANDOVER: "Handing over",
    SESSIONS: "Past sessions",
    SESSION: "One session",
    COMPARE: "Side by side",
    WEAR: "Wear",
    BLADES: "Blades",
    FEEL: "Feel",
    FORM: "Form",
    BLADES_FORM: "Form of blades",
    HELP: "Help",
}
"""Each screen's id and its heading, in the order of the work."""

_ALL = frozenset(SCREENS)
_FORMS = frozenset({FORM, BLADES_FORM, START})
"""Where letters are typed: no letter does anything else there."""
_AT_THE_ENGINE = frozenset({BEFORE, CRANK, BENCH, SETTING, CLOSING})
_LISTS = frozenset(
    {HOME, FIRST, SHEET, BEFORE, SHIMS, TORQUES, CLOSING, SESSIONS, SESSION, COMPARE, BLADES, HELP}
)


class Group(StrEnum):
    """The headings of the help page."""

    ANSWERS = "Answers"
    WORK = "The work"
    MOVE = "Moving about"
    OPEN = "Opening"
    PROGRAM = "The program"


@dataclass(frozen=True, slots=True)
class Command:
    """One thing that a key does.

    ``keys`` are the library's key names, the one to show first. ``label`` is for the footer; empty
    where the footer leaves it out. ``help`` is a whole sentence.
    """

    id: str
    keys: tuple[str, ...]
    label: str
    help: str
    screens: frozenset[str]
    group: Group

    @property
    def action(self) -> str:
        """The name that the library calls: ``action_<this>`` on the screen or the app."""
        return self.id

    @property
    def bound(self) -> tuple[str, ...]:
        """Every key that is bound: letters as capitals too, since caps lock may be on."""
        capitals = tuple(k.upper() for k in self.keys if len(k) == 1 and k.isalpha())
        return (*self.keys, *capitals)

    @property
    def shown(self) -> tuple[str, ...]:
        """The keys as a reader knows them: ``S``, ``Space``, ``Up``."""
        return tuple(shown_key(key) for key in self.keys)


def shown_key(key: str) -> str:
    """How a key is written on the screen and in the README."""
    if len(key) == 1:
        return key.upper()
    names = {"escape": "Esc", "delete": "Del", "pageup": "PgUp", "pagedown": "PgDn"}
    if key in names:
        return names[key]
    if key in _WORD_KEYS or key[1:].isdigit():
        return key.capitalize()
    return format_key(key)


_WORD_KEYS = frozenset(
    {"space", "enter", "backspace", "up", "down", "left", "right", "tab", "home", "end"}
)


def _on(*screens: str) -> frozenset[str]:
    return frozenset(screens)


def _command(  # noqa: PLR0917  one row of the table below, column by column
    group: Group, screens: frozenset[str], keys: str, id_: str, label: str, sentence: str
) -> Command:
    return Command(id_, tuple(keys.split()), label, sentence, screens, group)


_A, _W, _M, _O, _P = Group.ANSWERS, Group.WORK, Group.MOVE, Group.OPEN, Group.PROGRAM
_BENCH = _on(BENCH)
_TRIES = _on(BENCH, FEEL)

COMMANDS: tuple[Command, ...] = (
    # The three answers, on neighbouring keys.
    _command(_A, _TRIES, "s 1", "refuses", "Refuses", "The blade does not go, or only by force."),
    _command(_A, _TRIES, "d 2", "drag", "Drag", "The blade goes and drags."),
    _command(_A, _TRIES, "f 3", "free", "Free", "The blade goes and nothing holds it."),
    # The bench.
    _command(
        _W, _BENCH, "space n", "next_valve", "Next", "Go on to the next valve that wants you."
    ),
    _command(_W, _BENCH, "enter", "set_valve", "Set", "Turn the adjuster of this valve."),
    _command(_W, _TRIES, "up", "thicker", "", "Try the next thicker blade instead."),
    _command(_W, _TRIES, "down", "thinner", "", "Try the next thinner blade instead."),
    _command(
        _W,
        _TRIES,
        "b",
        "borrowed",
        "",
        "Type the size of a blade that is not in the set, or a stack.",
    ),
    _command(_W, _BENCH, "minus delete", "strike", "", "Strike one of this valve's readings out."),
    _command(
        _W, _BENCH, "j", "move_readings", "", "These readings belong to another valve: move them."
    ),
    _command(_M, _BENCH, "left", "valve_before", "", "Go to the valve before on the map."),
    _command(_M, _BENCH, "right", "valve_after", "", "Go to the valve after on the map."),
    _command(_O, _BENCH, "p", "position", "Crank", "Confirm or doubt the crank position."),
    _command(_O, _BENCH, "i", "why", "", "Say why this blade comes next, in full."),
    _command(
        _W,
        _on(BENCH, CRANK),
        "7",
        "try_it",
        "",
        "In practice only: let the practice hand try the blade, or the rockers.",
    ),
    _command(
        _W, _BENCH, "8", "rule", "", "Choose how much the blades must show: plain, proved, by feel."
    ),
    _command(
        _W,
        _BENCH,
        "9",
        "blind",
        "",
        "Measure this valve again, blind, to see your own spread; once more ends it.",
    ),
    _command(
        _W,
        _on(BENCH, SETTING),
        "0",
        "circumstances",
        "",
        "Tell the temperature, the odometer, the hours, who it is, or your own band.",
    ),
    _command(_O, _BENCH, "full_stop", "close_up", "Close up", "Enough for today: close up."),
    _command(_W, _BENCH, "6", "looked", "", "Told to stop and look: the parts are sound, go on."),
    # Setting.
    _command(
        _W,
        _on(SETTING),
        "b",
        "set_on",
        "On blade",
        "The screw was set to a light drag on the blade held in; the nut is slack still.",
    ),
    _command(
        _W,
        _on(SETTING),
        "space",
        "turned",
        "Turned",
        "Turned as shown; where the nut is to be locked: locked, to its figure by a wrench.",
    ),
    _command(
        _W,
        _on(SETTING),
        "e",
        "turned_otherwise",
        "Other",
        "I did it otherwise: type the turn that was made, or the blade it was set on.",
    ),
    _command(
        _W,
        _on(SETTING),
        "enter",
        "locked",
        "Locked",
        "The locknut is done up: measure this valve again.",
    ),
    _command(
        _W, _on(SETTING), "g", "fitted", "Fitted", "Type the size of the shim that was fitted."
    ),
    _command(
        _W,
        _on(SETTING),
        "w",
        "pad_test",
        "Pad test",
        "Wound to zero and backed off so far: tell a dished pad or a slack thread.",
    ),
    _command(
        _O,
        _on(SETTING, CLOSING),
        "s",
        "open_shims",
        "Shims",
        "Show every shim: what to swap between valves, and what to order.",
    ),
    _command(
        _O, _on(SETTING, CLOSING), "t", "open_torques", "Torques", "Show the torques in every unit."
    ),
    _command(
        _W, _on(SHIMS), "space", "next_cams", "Cams", "The next step around the cams is done."
    ),
    _command(_W, _on(SHIMS), "g", "fitted", "Size", "Type the size of the shim at this valve."),
    _command(_W, _on(SHIMS), "a", "spare", "In the drawer", "Type a shim that lies in the drawer."),
    _command(
        _W,
        _on(TORQUES),
        "w",
        "wrench",
        "Wrench",
        "Type the torque wrench's length and range.",
    ),
    _command(
        _W,
        _on(TORQUES),
        "e",
        "extension",
        "Crowfoot",
        "Type the length and angle of a crowfoot or an extension.",
    ),
    _command(
        _W,
        _BENCH,
        "comma",
        "whole_play",
        "",
        "Enter a blade tried in the whole free play of an opener and closer.",
    ),
    # The crank.
    _command(_A, _on(CRANK), "1", "mark_seen", "Mark", "The mark stands at its pointer."),
    _command(
        _A,
        _on(CRANK),
        "2",
        "both_slack",
        "Slack",
        "Both rockers are loose, both pushrods spin, or both lobes point away; else the second line.",
    ),
    _command(
        _A,
        _on(CRANK),
        "3",
        "inlet_seen",
        "Inlet seen",
        "The inlet opened and closed just before the mark.",
    ),
    _command(
        _A,
        _on(CRANK),
        "4",
        "still_seen",
        "Still",
        "Both valves stay still while the crank is rocked either way.",
    ),
    _command(
        _A,
        _on(CRANK),
        "5",
        "companion_rocks",
        "Other rocks",
        "The valves of the cylinder one turn apart rock.",
    ),
    _command(
        _A,
        _on(CRANK),
        "0 x",
        "doubt",
        "Not sure",
        "Something does not fit: no screw is touched until it does.",
    ),
    _command(
        _W,
        _on(CRANK),
        "space",
        "turned_on",
        "Next stop",
        "Go on to the next stop of the plan; turn the crank forward to it.",
    ),
    _command(_W, _on(CRANK), "enter", "confirm", "Measure", "Go to the bench with this position."),
    _command(
        _O,
        _on(CRANK),
        "i",
        "reasons",
        "Why",
        "Say why each valve may be measured here or not, and what goes with it.",
    ),
    # Before.
    _command(_W, _on(BEFORE), "enter", "go_on", "Go on", "All of this is so: go on to the crank."),
    _command(
        _W,
        _on(BEFORE),
        "t",
        "temperature",
        "Cold yet?",
        "Enter the metal's temperature now, or two readings to tell when it will be cold.",
    ),
    # Closing up.
    _command(_W, _on(BEFORE, CLOSING), "space", "tick", "Tick", "This line is done."),
    _command(_W, _on(CLOSING), "right plus", "count_up", "", "Count one more out."),
    _command(_W, _on(CLOSING), "left minus", "count_down", "", "Count one fewer out."),
    _command(
        _W, _on(CLOSING), "enter", "file", "File it", "File the session, complete or in part."
    ),
    _command(
        _O,
        _on(CLOSING, SESSION),
        "p",
        "hand_over",
        "Hand over",
        "Show the page for whoever goes on: what is loose, where it stopped, what is next.",
    ),
    _command(
        _W,
        _on(SESSION),
        "a",
        "amend",
        "Put right",
        "Put right what was filed wrongly, set it aside, add a note, or take that back.",
    ),
    _command(_W, _on(HANDOVER), "w", "write_page", "Write", "Write this page into a file."),
    _command(_M, _on(CRANK, HANDOVER), "up", "row_before", "", "One row up."),
    _command(_M, _on(CRANK, HANDOVER), "down", "row_after", "", "One row down."),
    # Everywhere at the engine.
    _command(
        _W,
        _AT_THE_ENGINE,
        "u backspace",
        "undo",
        "Undo",
        "Take the last step back; it stays on record as struck out.",
    ),
    _command(
        _M,
        _on(BENCH, CRANK),
        "m",
        "flip_map",
        "Flip map",
        "Look at the map from the other side of the engine.",
    ),
    _command(_W, _AT_THE_ENGINE, "y", "note", "", "Write a note into the session."),
    # Engines and sheets.
    _command(_W, _on(HOME), "enter", "start", "Check", "Start a check, or go on with one."),
    _command(_O, _on(HOME), "e", "open_sheet", "Sheet", "Show this engine's sheet."),
    _command(_M, _on(HOME), "right", "open_examples", "", "Open the list of invented examples."),
    _command(_M, _on(HOME), "left", "close_examples", "", "Close the list of examples again."),
    _command(_O, _on(HOME, BLADES), "a", "add", "Add", "Add an engine, or a set of blades."),
    _command(_O, _on(HOME), "p", "past", "Past", "Show the past sessions."),
    _command(_O, _on(SESSIONS), "enter", "open_session", "Open", "Show this session."),
    _command(
        _O,
        _on(HOME, SESSIONS, SESSION),
        "w",
        "open_wear",
        "Wear",
        "Show how the valves have moved.",
    ),
    _command(_O, _on(HOME), "b", "open_blades", "Blades", "Show the sets of blades."),
    _command(
        _O,
        _on(HOME),
        "z",
        "retire",
        "",
        "Retire this engine, or bring one back; the history stays.",
    ),
    _command(
        _O, _on(SHEET, BLADES), "e", "edit", "Edit", "Open the file in your editor, then check it."
    ),
    _command(_W, _on(SHEET, BLADES), "enter", "change", "Change", "Change it in a form."),
    _command(_W, _on(SHEET, BLADES), "r", "read_again", "Read again", "Read the file once more."),
    _command(
        _W,
        _on(SHEET),
        "v",
        "second_reading",
        "Checked",
        "The figures were read twice in the manual.",
    ),
    _command(
        _O,
        _on(HOME),
        "t",
        "practise",
        "Tour",
        "The tour, practice on an engine like this one that is not real, or practice of drag.",
    ),
    _command(_W, _on(FIRST), "enter", "choose", "Choose", "Do what the cursor is at."),
    *(
        _command(_W, _on(FIRST), str(n), f"choose_{n}", "", f"Do what stands at number {n}.")
        for n in range(1, 6)
    ),
    # Forms.
    _command(
        _W, _on(FORM, BLADES_FORM), "enter", "go_on", "Next", "The next line; at the end, keep it."
    ),
    _command(_W, _on(START), "enter", "go_on", "Begin", "All of this is so: on to the crank."),
    _command(
        _W,
        _on(START),
        "space",
        "tick",
        "Overnight",
        "In the empty metal line: it stood overnight. At a caution: it is so.",
    ),
    _command(_O, _on(START), "f2", "cold_when", "When cold?", "Two readings tell when it is cold."),
    _command(_M, _FORMS, "up", "row_before", "Line", "One line up."),
    _command(_M, _FORMS, "down", "row_after", "", "One line down."),
    _command(_M, _on(FORM), "pagedown", "next_page", "Page", "The next page."),
    _command(_M, _on(FORM), "pageup", "page_before", "", "The page before."),
    _command(_W, _on(FORM), "space", "tick", "", "Read a second time, and the same."),
    _command(_P, _FORMS, "f1", "help", "Help", "Show the keys of this screen."),
    _command(_P, _FORMS, "escape", "leave", "Back", "Leave the form; what was typed is kept."),
    # Feel.
    _command(
        _W, _on(FEEL), "g", "gap", "Gap", "Type the gap, as the micrometer or a stack has it."
    ),
    _command(_W, _on(FEEL), "space n", "as_told", "As told", "Take the gap that is asked for."),
    _command(_W, _on(FEEL), "enter", "keep", "Keep", "Keep what this practice has shown."),
    _command(_W, _on(FEEL), "u backspace", "undo", "Undo", "Forget the last try."),
    # What is on record.
    _command(
        _M,
        _on(HOME, SESSIONS),
        "slash",
        "filter",
        "Find",
        "Show only what holds the words typed.",
    ),
    _command(
        _O, _on(SESSIONS), "v", "side_by_side", "Compare", "Put this session beside the one before."
    ),
    _command(_M, _on(SESSION), "left", "step_before", "", "One step back in the session."),
    _command(_M, _on(SESSION), "right", "step_after", "Step", "One step on in the session."),
    _command(_M, _on(SESSION), "home", "step_first", "", "Back to the opening."),
    _command(_M, _on(SESSION), "end", "step_last", "", "On to the last step."),
    _command(
        _M, _on(COMPARE), "left", "pair_before", "Earlier", "Put an earlier session on the left."
    ),
    _command(_M, _on(COMPARE), "right", "pair_after", "Later", "Put a later session on the left."),
    _command(_O, _on(SESSIONS, SESSION), "c", "card", "Card", "Write the one-page card."),
    _command(_M, _on(WEAR), "left up", "valve_before", "Valve", "Show the valve before."),
    _command(_M, _on(WEAR), "right down", "valve_after", "", "Show the valve after."),
    _command(_M, _on(WEAR), "g", "siblings", "All of a kind", "Lay valves of one kind together."),
    # Everywhere.
    _command(_M, _LISTS, "up", "row_before", "", "One row up."),
    _command(_M, _LISTS, "down", "row_after", "", "One row down."),
    _command(_M, _LISTS, "pageup", "page_before", "", "One page up."),
    _command(_M, _LISTS, "pagedown", "page_after", "", "One page down."),
    _command(
        _P,
        _AT_THE_ENGINE,
        "k",
        "lock_keys",
        "Lock keys",
        "Lock the keys to wipe them; type OPEN to unlock.",
    ),
    _command(
        _P,
        _ALL - _FORMS,
        "o",
        "toggle_theme",
        "Sun",
        "Black on white for the sun, dark for the shed.",
    ),
    _command(
        _P,
        _ALL - {HELP} - _FORMS,
        "h f1 question_mark",
        "help",
        "Help",
        "Show the keys of this screen.",
    ),
    _command(
        _P,
        _ALL - {HOME} - _FORMS,
        "l escape",
        "leave",
        "Back",
        "Go back to the screen before; what was entered is kept.",
    ),
    _command(_M, _on(HOME), "escape", "show_all", "", "Show every engine again."),
    _command(
        _P, _on(HOME, FIRST), "q", "quit", "End", "End the program; what was entered is kept."
    ),
)

ANSWER_KEYS = frozenset(key for c in COMMANDS if c.group is Group.ANSWERS for key in c.bound)
"""The keys that record an answer."""

GUARDED_KEYS = ANSWER_KEYS | {"enter", "space"}
"""The keys that the input guard watches: a trembling finger must not record or lock anything."""


def commands_for(screen: str) -> tuple[Command, ...]:
    """The commands of one screen, in the table's order.

    Raises:
        KeyError: no such screen.
    """
    if screen not in SCREENS:
        raise KeyError(screen)
    return tuple(c for c in COMMANDS if screen in c.screens)


def bindings_for(screen: str) -> list[BindingType]:
    """What a screen takes as its ``BINDINGS``.

    The first key of a command is shown in the footer, where it has a label.
    """
    made: list[BindingType] = []
    for command in commands_for(screen):
        for at, key in enumerate(command.bound):
            made.append(
                Binding(
                    key,
                    command.action,
                    command.label or command.help,
                    show=bool(command.label) and at == 0,
                    key_display=shown_key(key),
                    tooltip=command.help,
                    id=f"{screen}.{command.id}.{key}",
                )
            )
    return made


def actions() -> tuple[tuple[str, str], ...]:
    """Every (screen, name of the method that must be there)."""
    return tuple((s, f"action_{c.action}") for s in SCREENS for c in commands_for(s))


_FIRST: dict[str, str] = {
    HOME: "start add open_sheet past open_wear filter practise open_blades quit",
    BEFORE: "tick go_on temperature undo",
    CRANK: "confirm turned_on doubt undo reasons",
    BENCH: "next_valve set_valve undo position close_up",
    SETTING: "set_on turned locked turned_otherwise undo fitted open_shims open_torques",
    CLOSING: "tick file hand_over undo open_torques open_shims",
    START: "go_on tick row_before cold_when",
    FORM: "go_on row_before next_page",
    SESSIONS: "open_session filter side_by_side card open_wear",
    FEEL: "refuses drag free as_told keep gap undo",
}
"""What is wanted most at a step, first in its footer. The answers have a row of their own."""

_LAST = ("leave", "help")
"""Never left out of a footer."""


def footer_commands(screen: str) -> tuple[Command, ...]:
    """What the footer offers, the most wanted first; the way back and help come last."""
    groups = list(Group)
    first = _FIRST.get(screen, "").split()
    own_row = _OWN_ROW.get(screen, frozenset())

    def rank(command: Command) -> tuple[int, int, int]:
        last = _LAST.index(command.id) + 1 if command.id in _LAST else 0
        place = first.index(command.id) if command.id in first else len(first)
        return last, place, groups.index(command.group)

    labelled = [c for c in commands_for(screen) if c.label and c.group not in own_row]
    return tuple(sorted(labelled, key=rank))


_OWN_ROW = {BENCH: frozenset({Group.ANSWERS})}
"""What a screen shows elsewhere already, with its keys."""


def footer_part(command: Command) -> str:
    """One command as the footer has it."""
    return f" {shown_key(command.keys[0])}  {command.label} "


def footer_line(
    screen: str, width: int, without: frozenset[str] = frozenset()
) -> tuple[Command, ...]:
    """As many commands as fit, the way back and help always; ``without`` leaves ids out."""
    shown = [c for c in footer_commands(screen) if c.id not in without]
    last = [c for c in shown if c.id in _LAST]
    shown = [c for c in shown if c.id not in _LAST]
    while shown and sum(len(footer_part(c)) for c in [*shown, *last]) > width:
        shown.pop()
    return (*shown, *last)


def footer_text(screen: str, width: int) -> str:
    """The footer as one line of plain text."""
    return "".join(footer_part(c) for c in footer_line(screen, width)).rstrip()[: max(0, width)]


def help_rows(screen: str) -> tuple[tuple[str, str, str], ...]:
    """Heading, keys and sentence of every command of a screen, heading by heading."""
    found = commands_for(screen)
    return tuple(
        (group.value, " or ".join(c.shown), c.help)
        for group in Group
        for c in found
        if c.group is group
    )


def readme_table() -> str:
    """The README's table of keys, in Markdown: screen by screen, what is everywhere first."""
    out = ["| Where | Key | What it does |", "|---|---|---|"]
    everywhere = [c for c in COMMANDS if len(c.screens) >= len(SCREENS) - len(_FORMS) - 1]
    out += [_row("Everywhere", c) for c in everywhere]
    for screen, heading in SCREENS.items():
        out += [_row(heading, c) for c in commands_for(screen) if c not in everywhere]
    return "\n".join(out) + "\n"


def _row(where: str, command: Command) -> str:
    keys = ", ".join(f"`{key}`" for key in command.shown)
    return f"| {where} | {keys} | {command.help} |"
