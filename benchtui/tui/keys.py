"""Every key of the program, declared once.

Bindings, footer, More, the help page and `benchtui keys` are all made from the table below. A
command's action on a screen is ``action_<its name>``; where it has several digits, the digit comes
with it.

S D F and J K L are the three answers and nothing else, on any screen; a letter has one meaning
wherever it is offered; no key beside an answer key writes anything.

Long, because the whole table stands here: only side by side does it show that no letter means two things.
"""

from __future__ import annotations

from collections.abc import Iterator
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
FILED = "filed"
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
    FILED: "Filed",
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

AT_THE_ENGINE = frozenset({BEFORE, CRANK, BENCH, SETTING, CLOSING})
"""The screens that show a check in hand."""

_ALIASES = {
    "all": frozenset(SCREENS),
    "forms": frozenset({FORM, BLADES_FORM, START}),  # where letters are typed, no letter does more
    "engine": AT_THE_ENGINE,
    "lists": frozenset({HOME, FIRST, SHEET, BEFORE, SHIMS, TORQUES, CLOSING, SESSIONS, SESSION})
    | frozenset({COMPARE, BLADES, HELP}),
}

# What comes first stands first in the footer. [Words] are for the footer; "-" is a command without a
# key of its own, to be found under More.
_TABLE = """
Answers: bench feel
  s j         refuses        [Refuses] The blade does not go, or only by force.
  d k         drag           [Drags] The blade goes and drags.
  f l         free           [Free] The blade goes and nothing holds it.

The work: bench
  enter       foot           Do what is to be done now: set, turn the crank, close up.
  space       next_valve     [Next] Go on to the next valve that wants you.
  up          thicker        [Blade] Try the next thicker blade instead.
  down        thinner        [Blade] Try the next thinner blade instead.
  left        valve_before   [Valve] Go to the valve before on the map.
  right       valve_after    [Valve] Go to the valve after on the map.
  0123456789. figure         Type another blade of the set, a borrowed one, or a stack.
  delete      strike         Strike one of this valve's readings out.
  -           move_readings  These readings belong to another valve: move them.
  -           set_anyway     Set this valve all the same.
  -           blind          Measure it again, blind, to see your spread; or end that.
  -           looked         Told to stop and look: the parts are sound, go on.
  -           whole_play     A blade tried in the whole free play of opener and closer.
  -           measured       Type the gap as a dial at the valve, or a strip, has it.
  -           rule           Choose what counts as in range: plain, proved, by feel.
  -           close_up       Enough for today: close up.

The work: crank bench
  -           try_it         In practice: let the hand try the blade, or the rockers.

The work: setting
  enter       finish         The adjuster is locked, or the shim is in: measure again.
  space       turned         Set or turned as shown, the nut slack; a lock torqued.
  left        other_way      [Other way] Set it the other way: on a blade held in, or by degrees.
  right       other_way_too  [Other way] Set it the other way: on a blade held in, or by degrees.
  up          thicker        [Blade] Set it on the next thicker blade instead.
  down        thinner        [Blade] Set it on the next thinner blade instead.
  0123456789. figure         Type what was done instead: another turn, blade or shim.
  -           pad_test       Wound to zero and backed off: tell a dished pad.

The work: shims
  space       next_cams      [Cams] The next step around the cams is done.
  0123456789. figure         [Size] Type the size of the shim at this valve.
  -           spare          Type a shim that lies in the drawer.

The work: torques
  1           wrench         [Wrench] Type the torque wrench's length and range.
  2           extension      [Crowfoot] Type the length and angle of a crowfoot or an extension.

The work: crank
  1234        seen           [Seen] One of the signs was seen: its number.
  5           doubt          [Not sure] Something does not fit: no screw is touched until it does.
Moving about: crank
  up          stop_before    [Stop] The stop before, to look at or to choose.
  down        stop_after     [Stop] The stop after, to look at or to choose.
The work: crank
  6           companion_seen The valves of the cylinder one turn apart rock.
  enter       confirm        [Measure] Go to the bench with this position.
  space       turned_on      [Turned] The crank was turned forward: say how far.

The work: before
  enter       go_on          [Go on] All of this is so: go on to the crank.
  -           temperature    The metal's temperature, or two that tell when it is cold.

The work: closing
  enter       file           [File it] File the session, complete or in part.
The work: before closing
  space       tick           [Tick] This line is done.
The work: closing
  left        count_down     [Count] Count one fewer out.
  right       count_up       [Count] Count one more out.

The work: filed
  enter       go_home        [Engines] Back to the engines, to the most pressing one.
The work: session
  enter       amend          [Put right] Put right what was filed wrongly, set it aside, add a note.
The work: handover
  enter       write_page     [Write] Write this page into a file.

The work: feel
  enter       keep           [Keep] Keep what this practice has shown.
  space       as_told        [As told] Take the gap that is asked for.
  up          thicker        [Blade] Take the next thicker blade.
  down        thinner        [Blade] Take the next thinner blade.
  0123456789. figure         [Gap] Type the gap, as the micrometer or a stack has it.
  -           borrowed       Type the size of another blade.
  backspace   undo           [Undo] Forget the last try.

The work: home
  enter       start          [Check] Start a check, or go on with one.
The work: home blades
  a           add            [Add] Add an engine, or a set of blades.
The work: first
  enter       choose         [Choose] Do what the cursor is at.
  12345       pick           Do what stands at that number.
The work: sheet blades
  enter       change         [Change] Change it in a form.
  -           edit           Open the file in your editor, then check it.
  -           read_again     Read the file once more.
The work: sheet
  space       second_reading [Read twice] The figures were read twice in the manual.

The work: form blades_form
  enter       go_on          [Next] The next line; at the end, keep it.
The work: start
  enter       go_on          [Begin] All of this is so: on to the crank.
  space       tick           [It is so] In the empty metal line: overnight. At a caution: it is so.
Moving about: forms
  up          row_before     [Line] One line up.
  down        row_after      [Line] One line down.
Opening: start
  f2          cold_when      [When cold?] Two readings tell when it is cold.
Moving about: form
  pagedown    next_page      [Page] The next page.
  pageup      page_before    [Page] The page before.
  space       tick           Read a second time, and the same.

The work: engine shims
  backspace   undo           [Undo] Take the last step back; it stays on record as struck out.

Opening: bench setting closing
  c           position       [Crank] Show, confirm or doubt the crank position.
Opening: bench setting crank
  y           why            [Why] Say why, in full.
Opening: home engine shims torques
  e           open_sheet     [Sheet] Show this engine's sheet.
Opening: engine shims torques filed
  n           note           [Note] Write a note into the session.
Opening: home wear
  p           past           [Past] Show the past sessions.
Opening: home sessions session filed
  w           open_wear      [Wear] Show how the valves have moved.
Opening: home
  b           open_blades    [Blades] Show the sets of blades.
  t           practise       [Tour] The tour, practice on such an engine, practice of drag.
  right       open_examples  Open the list of invented examples.
  left        close_examples Close the list of examples again.
  -           retire         Retire this engine, or bring one back; the history stays.
Opening: sessions
  enter       open_session   [Open] Show this session.
Opening: sessions session filed
  r           card           [Card] Write the one-page card; once filed, show it.
Opening: sessions filed
  x           side_by_side   [Side by side] Put this session beside the one before.
Moving about: home sessions
  /           filter         [Find] Show only what holds the words typed.
Opening: bench setting closing
  -           open_torques   Show the torques as printed and in other units.
  -           open_shims     Show every shim: what to swap, and what to order.
Opening: bench closing session
  -           hand_over      The page for whoever goes on: what is loose, what is next.
The work: bench setting
  -           circumstances  Temperature, counter, who it is, own band, or on the figure.

Moving about: session
  left        step_before    [Step] One step back in the session.
  right       step_after     [Step] One step on in the session.
  home        step_first     Back to the opening.
  end         step_last      On to the last step.
Moving about: compare
  left        pair_before    [Pair] Put an earlier session on the left.
  right       pair_after     [Pair] Put a later session on the left.
Moving about: wear
  left        valve_before   [Valve] Show the valve before.
  right       valve_after    [Valve] Show the valve after.
  up down     siblings       [Kind] Lay valves of one kind together, or show one alone.
Moving about: handover lists
  up          row_before     [Line] One row up.
  down        row_after      [Line] One row down.
Moving about: crank lists
  pageup      page_before    One page up.
  pagedown    page_after     One page down.

The program: bench crank
  v           flip_map       Look at the map from the other side of the engine.
The program: all but forms
  o           toggle_theme   Black on white for the sun, dark for the shed.
The program: engine
  -           lock_keys      Lock the keys to wipe them; type OPEN to unlock.
The program: all but home
  escape      leave          [Back] One step back; what was entered is kept.
The program: home
  escape      show_all       Show every engine again.
The program: all but forms
  q           quit           End the program; while a check is open it asks first.
  m           more           [More] All that this screen can do, with a search.
The program: all but forms help
  h f1 ?      help           [Help] Show the keys and signs of this screen.
The program: forms
  f1          help           [Help] Show the keys of this screen.
"""

_SPELT = {"/": "slash", "?": "question_mark", ".": "full_stop"}
"""The library's names for what the table writes as a sign."""


class Group(StrEnum):
    """The headings of the help page."""

    ANSWERS = "Answers"
    WORK = "The work"
    MOVE = "Moving about"
    OPEN = "Opening"
    PROGRAM = "The program"


@dataclass(frozen=True, slots=True)
class Command:
    """One thing that a key does, or that is found under More where it has none.

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
    def bound(self) -> tuple[str, ...]:
        """Every key that is bound: letters as capitals too, since caps lock may be on."""
        capitals = tuple(k.upper() for k in self.keys if len(k) == 1 and k.isalpha())
        return (*self.keys, *capitals)

    @property
    def shown(self) -> tuple[str, ...]:
        """The keys as a reader knows them: ``S``, ``Space``, ``0-9``."""
        digits = [key for key in self.keys if key.isdigit()]
        if len(digits) > 1:
            return (f"{digits[0]}-{digits[-1]}",)
        return tuple(shown_key(key) for key in self.keys)

    def action(self, key: str = "") -> str:
        """What the library calls for a key; where there are several digits, with the one pressed."""
        if len([k for k in self.keys if k.isdigit()]) < _SEVERAL:
            return self.id
        return f"{self.id}('{'.' if key == _SPELT['.'] else key}')"


_SEVERAL = 2


def shown_key(key: str) -> str:
    """How a key is written on the screen."""
    return _NAMES.get(key) or (key.upper() if len(key) == 1 else format_key(key).capitalize())


_NAMES = {
    "escape": "Esc",
    "delete": "Del",
    "pageup": "PgUp",
    "pagedown": "PgDn",
    "space": "Space",
    "enter": "Enter",
    "backspace": "Backspace",
    "up": "↑",
    "down": "↓",
    "left": "←",
    "right": "→",
    "home": "Home",
    "end": "End",
}


def _screens(words: str) -> frozenset[str]:
    """``all but forms help``: names of screens, and of sets of them."""
    wanted, _, without = words.partition(" but ")
    named = [
        frozenset().union(*(_ALIASES.get(word, frozenset({word})) for word in part.split()))
        for part in (wanted, without)
    ]
    return named[0] - named[1]


def _keys(word: str) -> tuple[str, ...]:
    if word == "-":
        return ()
    each = tuple(word) if word[0].isdigit() else (word,)
    return tuple(_SPELT.get(key, key) for key in each)


def _read(table: str) -> Iterator[Command]:
    """The table's rows, each under its heading."""
    group, screens = Group.WORK, frozenset[str]()
    for row in filter(None, table.splitlines()):
        if not row.startswith(" "):
            heading, _, where = row.partition(": ")
            group, screens = Group(heading), _screens(where)
            continue
        keys, rest = row[:14].split(), row[14:]
        id_, said = rest[:15].strip(), rest[15:].strip()
        label, _, sentence = said[1:].partition("] ") if said.startswith("[") else ("", "", said)
        bound = tuple(key for word in keys for key in _keys(word))
        yield Command(id_, bound, label, sentence, screens, group)


COMMANDS: tuple[Command, ...] = tuple(_read(_TABLE))

ANSWER_KEYS = frozenset(key for c in COMMANDS if c.group is Group.ANSWERS for key in c.bound)
"""The keys that record an answer."""

GUARDED_KEYS = ANSWER_KEYS | {"enter", "space"} | set("123456")
"""The keys that the input guard watches: a trembling finger must not record or lock anything."""

KNOWN_KEYS = frozenset(key for c in COMMANDS for key in c.bound)
"""Every key that does something on some screen."""


def commands_for(screen: str) -> tuple[Command, ...]:
    """The commands of one screen, in the table's order.

    Raises:
        KeyError: no such screen.
    """
    if screen not in SCREENS:
        raise KeyError(screen)
    return tuple(c for c in COMMANDS if screen in c.screens)


def bindings_for(screen: str) -> list[BindingType]:
    """What a screen takes as its ``BINDINGS``."""
    return [
        Binding(
            key,
            command.action(key),
            command.label or command.help,
            show=bool(command.label) and at == 0,
            key_display=shown_key(key),
            tooltip=command.help,
            id=f"{screen}.{command.id}.{key}",
        )
        for command in commands_for(screen)
        for at, key in enumerate(command.bound)
    ]


def actions() -> tuple[tuple[str, str], ...]:
    """Every (screen, name of the method that must be there)."""
    return tuple((s, f"action_{c.id}") for s in SCREENS for c in commands_for(s))


_LAST = ("more", "help")
"""Never left out of a footer, and at its end."""


@dataclass(frozen=True, slots=True)
class FooterPart:
    """Some keys of a footer and the word for them; ``command`` is what a click on it does."""

    keys: str
    label: str
    command: Command

    def __len__(self) -> int:
        return len(self.keys) + len(self.label) + 4


def footer_line(
    screen: str, width: int, without: frozenset[str] = frozenset()
) -> tuple[FooterPart, ...]:
    """As many commands as fit, More and Help always; ``without`` leaves ids out.

    Neighbours with one word, as up and down, share it.
    """
    shown: list[FooterPart] = []
    last: list[FooterPart] = []
    for c in commands_for(screen):
        if not c.label or c.id in without or c.group is Group.ANSWERS:
            continue
        part = FooterPart(c.shown[0] if len(c.keys) != _SEVERAL else "".join(c.shown), c.label, c)
        if c.id in _LAST:
            last.append(FooterPart(c.shown[0], c.label, c))
        elif shown and shown[-1].label == c.label:
            shown[-1] = FooterPart(shown[-1].keys + part.keys, c.label, c)
        else:
            shown.append(part)
    while shown and sum(map(len, [*shown, *last])) > width:
        shown.pop()
    return (*shown, *last)


def footer_text(screen: str, width: int) -> str:
    """The footer as one line of plain text."""
    parts = "".join(f" {p.keys}  {p.label} " for p in footer_line(screen, width))
    return parts.rstrip()[: max(0, width)]


def help_rows(screen: str) -> tuple[tuple[str, str, str], ...]:
    """Heading, keys and sentence of every command of a screen that has a key, heading by heading."""
    found = [c for c in commands_for(screen) if c.keys]
    return tuple(
        (group.value, " or ".join(c.shown), c.help)
        for group in Group
        for c in found
        if c.group is group
    )


def key_lines() -> Iterator[str]:
    """Every key as lines of text: screen by screen, what is everywhere first."""
    everywhere = [c for c in COMMANDS if len(c.screens) > len(SCREENS) * 3 // 4]
    parts = {screen: [c for c in commands_for(screen) if c not in everywhere] for screen in SCREENS}
    for heading, commands in (("Everywhere", everywhere), *((SCREENS[s], parts[s]) for s in parts)):
        yield heading
        yield from (f"  {' or '.join(c.shown) or 'M':<15}  {c.help}" for c in commands)
        yield ""
