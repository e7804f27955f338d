"""Our own letters of five rows of pixels, as wide as each letter needs.

Made for valve names, blades and verdicts: the 1 has a foot; 1, I and / stay apart at a
distance, and so do 0 and O.
"""

from __future__ import annotations

ROWS = 5

_ROWS_OF_LETTERS = """
.##. ###. .### ###. #### #### .### #..# ### ..## #..# #... #...# #...#
#..# #..# #... #..# #... #... #... #..# .#. ...# #.#. #... ##.## ##..#
#### ###. #... #..# ###. ###. #.## #### .#. ...# ##.. #... #.#.# #.#.#
#..# #..# #... #..# #... #... #..# #..# .#. #..# #.#. #... #...# #..##
#..# ###. .### ###. #### #... .### #..# ### .##. #..# #### #...# #...#

.###. ###. .##. ###. .### ##### #..# #...# #...# #...# #...# ####
#...# #..# #..# #..# #... ..#.. #..# #...# #...# .#.#. .#.#. ...#
#...# ###. #..# ###. .##. ..#.. #..# #...# #.#.# ..#.. ..#.. .##.
#...# #... #.#. #.#. ...# ..#.. #..# .#.#. ##.## .#.#. ..#.. #...
.###. #... .#.# #..# ###. ..#.. .##. ..#.. #...# #...# ..#.. ####

.##. .#. .##. ###. #..# #### .##. #### .##. .##.
#..# ##. #..# ...# #..# #... #... ...# #..# #..#
#..# .#. ..#. .##. #### ###. ###. ..#. .##. .###
#..# .#. .#.. ...# ...# ...# #..# .#.. #..# ...#
.##. ### #### ###. ...# ###. .##. .#.. .##. .##.

. .. ... ... ...# . ### # .# #. # ## . #..# ... .#. ..# #..
. .. .#. ... ..#. # ..# # #. .# # ## . ...# ### .#. .#. .#.
. .. ### ### .#.. . .#. # #. .# . .. . .##. ... .#. #.. ..#
. .# .#. ... #... # ... . #. .# . .. . #... ### ... .#. .#.
# #. ... ... .... . .#. # .# #. . .. . #..# ... .#. ..# #..

....# ##### ..#.. ..## #### .... ...# #..#. ....
....# .###. ..#.. ##.. #..# #### #### .#..# ....
#..#. .###. .###. ..## #..# #### ..#. ..#.# ####
.##.. ..#.. .###. .... #..# #### #### .#..# ....
..#.. ..#.. ##### #### #### .... #... #..#. ....
"""

_LETTERS = (
    "ABCDEFGHIJKLMN",
    "OPQRSTUVWXYZ",
    "0123456789",
    ".,+-/:?!()'\" %=|<>",
    "√▼▲≤□▬≠»–",  # noqa: RUF001  the dash itself is meant
)


def _cut() -> dict[str, tuple[str, ...]]:
    """Each letter's rows of pixels, ``#`` for a filled one."""
    glyphs: dict[str, tuple[str, ...]] = {}
    blocks = _ROWS_OF_LETTERS.strip().split("\n\n")
    for letters, block in zip(_LETTERS, blocks, strict=True):
        rows = [line.split() for line in block.splitlines()]
        for at, letter in enumerate(letters):
            glyphs[letter] = tuple(row[at] for row in rows)
    glyphs[" "] = ("..",) * ROWS
    return glyphs


GLYPHS = _cut()


def rows_of(text: str) -> tuple[str, ...] | None:
    """``text`` as five rows of pixels, letters one pixel apart, or None where a letter is missing.

    Small letters are drawn as capitals.
    """
    glyphs = [GLYPHS.get(letter) for letter in text.upper()]
    if not glyphs or any(glyph is None for glyph in glyphs):
        return None
    return tuple(".".join(glyph[row] for glyph in glyphs if glyph) for row in range(ROWS))
