"""Two themes: dark for the shed, black on white for the sun.

Every colour that carries a word is told by its role, and each stands out from its background by
at least 4.5 to 1 (the contrast ratio of the Web Content Accessibility Guidelines 2.2, success
criterion 1.4.3); a test works it out. No picture needs its colours to be read.
"""

from __future__ import annotations

from typing import Any

from rich.console import Console
from textual.app import App
from textual.theme import Theme

DARK = "shed"
LIGHT = "sunlight"

_CURSOR = "bold reverse"


def _roles(
    *,
    in_range: str,
    out: str,
    undecided: str,
    caution: str,
    band: str,
    upcoming: str,
    faint: str,
    key: str,
) -> dict[str, str]:
    """The variables that the style sheets use for each role."""
    return {
        "in-range": in_range,
        "out": out,
        "undecided": undecided,
        "caution": caution,
        "band": band,
        "next": upcoming,
        "faint": faint,
        "key": key,
    }


_DARK_ROLES = _roles(
    in_range="#6ee787",
    out="#ff8a80",
    undecided="#ffd75f",
    caution="#ffb454",
    band="#8fb8de",
    upcoming="#ffffff",
    faint="#a3adb8",
    key="#bcc7d2",
)
_LIGHT_ROLES = _roles(
    in_range="#005a1e",
    out="#a30000",
    undecided="#6b3d00",
    caution="#8a2f00",
    band="#00408a",
    upcoming="#000000",
    faint="#4a4a4a",
    key="#262626",
)

ROLE_VARIABLES = tuple(_DARK_ROLES)


def variable_defaults() -> dict[str, str]:
    """What an app's ``get_theme_variable_defaults`` gives back.

    Without it the style sheets would not parse under a theme that lacks our roles.
    """
    return dict(_DARK_ROLES)


SHED = Theme(
    name=DARK,
    dark=True,
    background="#101418",
    surface="#181e24",
    panel="#222a32",
    foreground="#f2f4f6",
    primary="#8fb8de",
    secondary="#a3adb8",
    accent="#ffd75f",
    success="#6ee787",
    warning="#ffb454",
    error="#ff8a80",
    variables={
        **_DARK_ROLES,
        "block-cursor-background": "#f2f4f6",
        "block-cursor-foreground": "#101418",
        "block-cursor-text-style": "bold",
        "footer-background": "#222a32",
        "footer-foreground": "#f2f4f6",
        "footer-key-foreground": "#ffd75f",
        "footer-description-foreground": "#f2f4f6",
        "border": "#8fb8de",
        "border-blurred": "#5a6672",
    },
)

SUNLIGHT = Theme(
    name=LIGHT,
    dark=False,
    background="#ffffff",
    surface="#ffffff",
    panel="#ececec",
    foreground="#000000",
    primary="#00408a",
    secondary="#4a4a4a",
    accent="#00408a",
    success="#005a1e",
    warning="#8a2f00",
    error="#a30000",
    # Full black: the library thins its text to 95 % otherwise.
    text_alpha=1.0,
    variables={
        **_LIGHT_ROLES,
        "block-cursor-background": "#000000",
        "block-cursor-foreground": "#ffffff",
        "block-cursor-text-style": "bold",
        "footer-background": "#000000",
        "footer-foreground": "#ffffff",
        "footer-key-foreground": "#ffffff",
        "footer-key-background": "#000000",
        "footer-description-foreground": "#ffffff",
        "border": "#000000",
        "border-blurred": "#4a4a4a",
    },
)

THEMES = (SHED, SUNLIGHT)

# Without colours a filled cursor is not there at all: there it is drawn in reverse and bold, on the
# ground's own two colours, for the reverse of a filled one would be the plain row again.
_PLAIN_CURSOR = {"block-cursor-text-style": _CURSOR, "block-cursor-blurred-text-style": "underline"}


# A terminal of sixteen colours has its own idea of each, and the nearest of them to ours may be yellow
# on white. Here each role has one that stands out in any palette: black, red and blue on white, the
# bright ones on black. Signs and words tell apart what shares a colour.
_SIXTEEN = {
    DARK: _roles(
        in_range="#55ff55",
        out="#ff5555",
        undecided="#ffff55",
        caution="#ffff55",
        band="#55ffff",
        upcoming="#ffffff",
        faint="#aaaaaa",
        key="#aaaaaa",
    ),
    LIGHT: _roles(
        in_range="#0000aa",
        out="#aa0000",
        undecided="#000000",
        caution="#aa0000",
        band="#0000aa",
        upcoming="#000000",
        faint="#000000",
        key="#000000",
    ),
}


def other(name: str) -> str:
    """The theme that the toggle key goes to."""
    return DARK if name == LIGHT else LIGHT


def few_colours() -> bool:
    """Whether the terminal has sixteen colours, by what it says of itself."""
    return Console().color_system == "standard"


def install(app: App[Any], theme: str = DARK, *, few: bool = False) -> None:
    """Register both themes with ``app`` and put ``theme`` on; ``few``: those of sixteen colours."""
    for kind in THEMES:
        if app.no_color:
            kind = _without_colour(kind)  # noqa: PLW2901  a changed copy of the loop's value
        elif few:
            kind = _in_sixteen(kind)  # noqa: PLW2901  the same
        app.register_theme(kind)
    app.theme = theme


def _in_sixteen(theme: Theme) -> Theme:
    """A copy of which every word stands out from its ground in sixteen colours too."""
    roles = _SIXTEEN[theme.name]
    ground, front = ("#000000", "#ffffff") if theme.dark else ("#ffffff", "#000000")
    settings = dict(vars(theme)) | {
        "background": ground,
        "surface": ground,
        "panel": ground,
        "foreground": front,
        "primary": roles["band"],
        "secondary": roles["faint"],
        "accent": roles["undecided"],
        "success": roles["in-range"],
        "warning": roles["caution"],
        "error": roles["out"],
    }
    bars = {
        name: value
        for name, value in theme.variables.items()
        if name.startswith("block-cursor-text")
    }
    settings["variables"] = {
        **bars,
        **roles,
        "block-cursor-background": front,
        "block-cursor-foreground": ground,
        "footer-background": ground,
        "footer-foreground": front,
        "footer-key-foreground": front,
        "footer-description-foreground": front,
        "border": front,
        "border-blurred": roles["faint"],
    }
    return Theme(**settings)


def _without_colour(theme: Theme) -> Theme:
    """A copy whose cursor shows without any colour."""
    settings = dict(vars(theme))
    ground = {
        "block-cursor-background": str(theme.background),
        "block-cursor-foreground": str(theme.foreground),
    }
    settings["variables"] = {**theme.variables, **_PLAIN_CURSOR, **ground}
    return Theme(**settings)
