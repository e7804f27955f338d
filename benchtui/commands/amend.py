"""``benchtui replay FILE`` where the file puts stored sessions right instead of telling a new one."""

from __future__ import annotations

import json
from dataclasses import dataclass

from benchtui.commands.card import session_named
from benchtui.domain.errors import BenchError
from benchtui.domain.refusal import Refusal, Why
from benchtui.text.quantities.show import inert
from benchtui.text.reading.amend_file import AmendLine
from benchtui.text.words.doubt_words import doubt_words
from benchtui.text.words.event_words import event_words
from benchtui.text.words.refusals import error_words
from benchtui.workshop import Workshop

REFUSED = 1
"""Exit status where a line could not be done."""


@dataclass(frozen=True, slots=True)
class _Done:
    """What came of a line: the session, what is said of it, why it was refused if it was.

    ``already``: it stands so, so that there is nothing to do.
    ``doubts`` are asked back, and nothing more: whoever wrote the line is believed.
    """

    line: AmendLine
    session: str
    said: str = ""
    already: bool = False
    refused: str = ""
    doubts: tuple[str, ...] = ()


def run_amendments(
    workshop: Workshop, lines: tuple[AmendLine, ...], *, as_json: bool, keep: bool
) -> int:
    """Try every line; with ``keep``, and where none was refused, do them. The exit status."""
    tried = [_tried(workshop, line, lines[:number]) for number, line in enumerate(lines)]
    refused = any(done.refused for done in tried)
    for done in tried:
        print(_json(done) if as_json else _plain(done))
    if keep and not refused:
        now: dict[str, str] = {}
        for done in tried:
            if not done.already:
                stands = now.get(done.session, done.session)
                command = done.line.command(workshop.engines.sheet)
                now[done.session] = workshop.open_sessions.amend(stands, command)
    if not as_json:
        print(_summary(refused=refused, keep=keep))
    return REFUSED if refused else 0


def _tried(workshop: Workshop, line: AmendLine, before: tuple[AmendLine, ...]) -> _Done:
    """What the line would do once those before it are done; nothing is written."""
    session = line.session
    try:
        session = session_named(workshop, line.session)
        earlier = [b for b in before if _names(workshop, b.session, session)]
        commands = [b.command(workshop.engines.sheet) for b in earlier]
        events, odd = workshop.open_sessions.amended(
            session, commands, line.command(workshop.engines.sheet)
        )
    except BenchError as error:
        words = error_words(error)
        if isinstance(error, Refusal) and error.why is Why.ALREADY_SO:
            return _Done(line, session, words, already=True)
        return _Done(line, session, refused=words)
    said = event_words(events[-1].fact, {e.number: e.fact for e in events})
    return _Done(line, session, said, doubts=tuple(map(doubt_words, odd)))


def _names(workshop: Workshop, part: str, session: str) -> bool:
    try:
        return session_named(workshop, part) == session
    except BenchError:
        return False


def _plain(done: _Done) -> str:
    said = f"REFUSED: {done.refused}" if done.refused else done.said
    lines = [f"{done.line.line:>3}  {inert(done.line.text)}"]
    lines += [f"     {inert(done.session)}: {inert(said)}"]
    lines += [f"     ?? {inert(doubt)}" for doubt in done.doubts]
    return "\n".join(lines)


def _json(done: _Done) -> str:
    document = {
        "line": done.line.line,
        "text": done.line.text,
        "session": done.session,
        "message": done.said,
        "doubts": list(done.doubts),
    }
    return json.dumps({**document, "refused": done.refused} if done.refused else document)


def _summary(*, refused: bool, keep: bool) -> str:
    if refused:
        return "Nothing was put right: mend the lines that were refused."
    return "Put right." if keep else "Nothing was written: --keep puts it right."
