"""Thread names as they are stamped and printed, and the pitch that each stands for.

Sizes are those that turn up on adjusting screws and covers, up to about 20 mm. Metric: ISO 261
(coarse, and the fine pitches in use); UN: ASME B1.1 (coarse, fine and extra-fine); BA: 0.9^n mm
rounded to two places; BSF, BSW and CEI: published tables. All from memory, checked in the tests
against published rows.
"""

from __future__ import annotations

import re
from fractions import Fraction

from benchtui.domain.errors import BenchError
from benchtui.domain.length import Length

LEAST_PITCH, MOST_PITCH = Length.mm("0.2"), Length.mm("3.0")
"""Outside these a figure is no pitch of a screw on a small engine (design value)."""

USUAL_LEAST, USUAL_MOST = Length.mm("0.35"), Length.mm("1.5")
"""Outside these a pitch is taken, with a warning (design value)."""


def _table(text: str) -> dict[str, str]:
    return dict(cell.strip().split(": ") for row in text.splitlines() for cell in row.split("|"))


_METRIC = _table(
    """\
    1.6: 0.35 0.2 | 2: 0.4 0.25 | 2.5: 0.45 0.35 | 3: 0.5 0.35 | 3.5: 0.6 0.35 | 4: 0.7 0.5
    4.5: 0.75 0.5 | 5: 0.8 0.5 | 5.5: 0.5 | 6: 1 0.75 | 7: 1 0.75 | 8: 1.25 1 0.75
    9: 1.25 1 0.75 | 10: 1.5 1.25 1 0.75 | 11: 1.5 1 0.75 | 12: 1.75 1.5 1.25 1
    14: 2 1.5 1.25 1 | 15: 1.5 1 | 16: 2 1.5 1 | 17: 1.5 1 | 18: 2.5 2 1.5 1 | 20: 2.5 2 1.5 1"""
)
"""Size in mm: the pitches, coarse first."""

_FINE_ONLY = frozenset({"5.5", "15", "17"})

_UN = _table(
    """\
    #0: - 80 - | #1: 64 72 - | #2: 56 64 - | #3: 48 56 - | #4: 40 48 - | #5: 40 44 -
    #6: 32 40 - | #8: 32 36 - | #10: 24 32 - | #12: 24 28 32 | 1/4: 20 28 32 | 5/16: 18 24 32
    3/8: 16 24 32 | 7/16: 14 20 28 | 1/2: 13 20 28 | 9/16: 12 18 24 | 5/8: 11 18 24
    11/16: - - 24 | 3/4: 10 16 20"""
)
"""Size: threads per inch: coarse, fine, extra-fine; "-" where there is none."""

_UN_SERIES = {"UNC": 0, "UNF": 1, "UNEF": 2}

_BA = ("1.00", "0.90", "0.81", "0.73", "0.66", "0.59", "0.53", "0.48", "0.43", "0.39", "0.35")

_BRITISH = {
    "BSF": "3/16: 32 | 7/32: 28 | 1/4: 26 | 9/32: 26 | 5/16: 22 | 3/8: 20 | 7/16: 18 | 1/2: 16",
    "BSW": "1/8: 40 | 3/16: 24 | 1/4: 20 | 5/16: 18 | 3/8: 16 | 7/16: 14 | 1/2: 12",
    "CEI": "1/8: 40 | 5/32: 32 | 3/16: 32 | 7/32: 26 | 1/4: 26 | 9/32: 26 | 5/16: 26 | 3/8: 26 | "
    "7/16: 26 | 1/2: 26 | 9/16: 26 | 5/8: 26 | 3/4: 26",
}
_ALSO_CALLED = {"BSC": "CEI", "WHITWORTH": "BSW"}


class UnknownThread(BenchError):
    """A thread's name that cannot be read; ``wanted`` says what would be."""

    def __init__(self, name: str, wanted: str) -> None:
        super().__init__(f"found {name}; wanted {wanted}")
        self.name = name
        self.wanted = wanted


def tpi(count: int | Fraction) -> Length:
    """The pitch of ``count`` threads per inch, to the nearest nanometre."""
    return Length.inch(Fraction(1) / count)


_FORMS = "a thread such as M6x0.75, 26 tpi, 1/4-28, #8-36, 2 BA, BSF 1/4 or CEI 5/16"
_SIZE = r"[0-9]{1,2}/[0-9]{1,2}"
_NUMBER = r"[0-9]{1,2}(?:\.[0-9]{1,3})?"


def pitch_of(name: str) -> Length:
    """The pitch that ``name`` stands for.

    A metric name may carry its own pitch and a UN name its own threads per inch; these are taken
    as they are printed, listed or not (see ``is_listed``), if they are a pitch at all.

    Raises:
        UnknownThread: no thread that is known here.
    """
    plain = _plain(name)
    readers = (_per_inch, _metric, _british_association, _british, _unified)
    for read in readers:
        pitch = read(plain)
        if pitch is not None:
            if not LEAST_PITCH <= pitch <= MOST_PITCH:
                raise UnknownThread(name, f"a pitch of {LEAST_PITCH} to {MOST_PITCH}")
            return pitch
    raise UnknownThread(name, _FORMS)


def _plain(name: str) -> str:
    """In capitals, single spaces; ``No. 8-36`` is ``#8-36``."""
    plain = " ".join(name.upper().replace("\u00d7", "X").split())
    return re.sub(r"^NO\.? ?(?=[0-9])|^# (?=[0-9])", "#", plain)


def is_listed(name: str) -> bool:
    """Whether ``name`` is a standard size with a standard pitch; ``26 tpi`` alone always is.

    Raises:
        UnknownThread: no thread that is known here.
    """
    pitch = pitch_of(name)
    plain = _plain(name)
    if found := re.match(rf"\s*M\s*({_NUMBER})", plain):
        return pitch in {Length.mm(p) for p in _METRIC.get(_size(found[1]), "").split()}
    if (found := _UN_NAME.fullmatch(plain)) and found["tpi"]:
        listed = _UN[_un_size(found["size"])].split()
        return pitch in {tpi(int(t)) for t in listed if t != "-"}
    return True


def listed() -> dict[str, Length]:
    """Every listed name with a pitch this program takes, for a test or a list to choose from."""
    names = [f"M{s}x{p}" for s, pitches in _METRIC.items() for p in pitches.split()]
    names += [f"{s}-{t}" for s, row in _UN.items() for t in row.split() if t != "-"]
    names += [f"{n} BA" for n in range(len(_BA))]
    names += [f"{family} {s}" for family, sizes in _BRITISH.items() for s in _table(sizes)]
    return {name: pitch_of(name) for name in names}


def odd_pitch(pitch: Length) -> str | None:
    """Why a pitch deserves a second look, or None for a usual one.

    The pitch should lie in ``LEAST_PITCH`` to ``MOST_PITCH``; a figure outside is said to be none.
    """
    if not LEAST_PITCH <= pitch <= MOST_PITCH:
        return f"a pitch of {pitch} is outside {LEAST_PITCH} to {MOST_PITCH}"
    if not USUAL_LEAST <= pitch <= USUAL_MOST:
        return f"a pitch of {pitch} is unusual for an adjuster; look at the screw again"
    return None


def _per_inch(name: str) -> Length | None:
    found = re.fullmatch(rf"({_NUMBER}) ?(?:TPI|THREADS PER INCH)", name)
    return tpi(Fraction(found[1])) if found and Fraction(found[1]) else None


def _metric(name: str) -> Length | None:
    found = re.fullmatch(rf"M ?({_NUMBER})(?: ?[X-] ?({_NUMBER}))?", name)
    if found is None:
        return None
    size = _size(found[1])
    if found[2]:
        pitch = Length.mm(found[2])
        # A pitch of half the screw's size or more is a slip of the pen.
        if pitch * 2 >= Length.mm(size):
            raise UnknownThread(name, f"a pitch that fits a screw of {size} mm")
        return pitch
    if size not in _METRIC or size in _FINE_ONLY:
        raise UnknownThread(name, f"M{size} with its pitch, as in M6x0.75")
    return Length.mm(_METRIC[size].split()[0])


def _size(figure: str) -> str:
    """``6.0`` and ``6`` are one size."""
    return figure.rstrip("0").rstrip(".") if "." in figure else figure


def _british_association(name: str) -> Length | None:
    found = re.fullmatch(r"(?:BA ?([0-9]{1,2})|([0-9]{1,2}) ?BA)", name)
    if found is None:
        return None
    number = int(found[1] or found[2])
    if number >= len(_BA):
        raise UnknownThread(name, f"0 BA to {len(_BA) - 1} BA")
    return Length.mm(_BA[number])


_FAMILY = "BSF|BSW|CEI|BSC|WHITWORTH"
_BRITISH_NAME = re.compile(
    rf"(?:(?P<family>{_FAMILY}) ?)?(?P<size>{_SIZE})(?: ?[X-] ?(?P<tpi>[0-9]{{2}})(?: ?TPI)?)?"
    rf"(?: ?(?P<after>{_FAMILY}))?"
)


def _british(name: str) -> Length | None:
    found = _BRITISH_NAME.fullmatch(name)
    if found is None or not (family := found["family"] or found["after"]):
        return None
    family = _ALSO_CALLED.get(family, family)
    sizes = _table(_BRITISH[family])
    count = sizes.get(found["size"])
    if count is None:
        raise UnknownThread(name, f"{family} in one of {', '.join(sizes)}")
    if found["tpi"] and found["tpi"] != count:
        raise UnknownThread(name, f"{family} {found['size']} with {count} tpi, or the tpi alone")
    return tpi(int(count))


_UN_NAME = re.compile(
    rf"(?P<size>#?[0-9]{{1,2}}|{_SIZE})(?: ?[X-] ?(?P<tpi>[0-9]{{1,2}}))?(?: ?(?P<series>UNC|UNF|UNEF))?"
)


def _un_size(size: str) -> str:
    return size if "/" in size or size.startswith("#") else f"#{size}"


def _unified(name: str) -> Length | None:
    found = _UN_NAME.fullmatch(name)
    if found is None or not (found["tpi"] or found["series"]):
        return None
    size = _un_size(found["size"])
    if size not in _UN:
        raise UnknownThread(name, f"one of the sizes {', '.join(_UN)}")
    if found["series"] is None:
        return tpi(int(found["tpi"])) if int(found["tpi"]) else None
    count = _UN[size].split()[_UN_SERIES[found["series"]]]
    if count == "-":
        raise UnknownThread(name, f"a series that {size} is made in")
    if found["tpi"] and found["tpi"] != count:
        raise UnknownThread(name, f"{size}-{count} {found['series']}, or the tpi alone")
    return tpi(int(count))
