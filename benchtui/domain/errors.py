"""What can go wrong, as fields; the sentence is built from them."""

from __future__ import annotations

from dataclasses import dataclass


class BenchError(Exception):
    """The root of every error that is meant to be read by the person at the bench."""


LONGEST_QUOTE = 60
"""Characters of what a person wrote that a sentence repeats (design value)."""


def shortened(text: str) -> str:
    """What a person wrote, cut to a length that can still be read in a sentence."""
    return text if len(text) <= LONGEST_QUOTE else f"{text[: LONGEST_QUOTE - 3]}..."


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong in something a person wrote.

    ``file`` and ``key`` may be empty, ``line`` is None where no line is known. ``found`` and
    ``wanted`` are plain text and may hold anything; whoever shows them must neutralise control
    characters (see ``benchtui.text.quantities.show.inert``). A key may be as long as a line of the file; in
    the sentence it is shortened.
    """

    file: str
    line: int | None
    key: str
    found: str
    wanted: str

    def __str__(self) -> str:
        place = self.file or "input"
        if self.line is not None:
            place += f":{self.line}"
        key = f" {shortened(self.key)}:" if self.key else ""
        return f"{place}:{key} found {self.found}; wanted {self.wanted}"


class FaultyInput(BenchError):
    """A file or an entry with one fault or more; all of them are listed at once."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__("\n".join(str(f) for f in faults))
        self.faults = faults


class NotKept(BenchError):
    """What was just told could not be put on disk, and so did not happen; what was told before stands.

    The next step tries again. ``tall`` is the reason in two short words, to be read from afar.
    """

    def __init__(self, reason: str, tall: str = "NOT KEPT") -> None:
        super().__init__(reason)
        self.tall = tall


class Unable(BenchError):
    """What cannot be done with a file, a name or this terminal, and what to do instead."""

    def __init__(self, reason: str, instead: str = "") -> None:
        super().__init__(f"{reason} {instead}".strip())
