from __future__ import annotations

from itertools import product

import pytest
import rich.color
from textual.app import App
from textual.color import Color
from textual.theme import Theme

from benchtui.tui import themes
from benchtui.tui.themes import SHED, SUNLIGHT

BOTH = pytest.mark.parametrize("theme", [SHED, SUNLIGHT], ids=lambda t: t.name)


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.2, "relative luminance" in its glossary."""
    parts = []
    for part in Color.parse(colour).rgb:
        share = part / 255
        linear = share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4
        parts.append(linear)
    red, green, blue = parts
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio, WCAG 2.2, "contrast ratio" in its glossary."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_ratio_itself_against_published_values() -> None:
    """Black on white is 21 to 1 and grey 767676 just over 4.5 to 1 on white (WCAG 2.2, and the
    common practice of naming that grey as the lightest that passes)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert 4.5 <= contrast("#767676", "#ffffff") < 4.6
    assert contrast("#777777", "#ffffff") < 4.5


@BOTH
@pytest.mark.parametrize("role", themes.ROLE_VARIABLES)
def test_every_role_stands_out_from_every_ground(theme: Theme, role: str) -> None:
    for ground in (theme.background, theme.surface, theme.panel):
        assert ground is not None
        assert contrast(theme.variables[role], ground) >= 4.5


@BOTH
def test_what_the_library_makes_of_the_theme_stands_out_too(theme: Theme) -> None:
    made = theme.to_color_system().generate()
    pairs = [
        ("foreground", "background"),
        ("foreground", "surface"),
        ("foreground", "panel"),
        ("footer-key-foreground", "footer-background"),
        ("footer-description-foreground", "footer-background"),
        ("block-cursor-foreground", "block-cursor-background"),
    ]
    pairs += list(product(("success", "warning", "error", "primary"), ("background", "surface")))
    for front, ground in pairs:
        assert contrast(made[front], made[ground]) >= 4.5, (front, ground)


PALETTES = {
    "xterm": (
        *("#000000", "#cd0000", "#00cd00", "#cdcd00", "#0000ee", "#cd00cd", "#00cdcd", "#e5e5e5"),
        *("#7f7f7f", "#ff0000", "#00ff00", "#ffff00", "#5c5cff", "#ff00ff", "#00ffff", "#ffffff"),
    ),
    "a bare console": (
        *("#000000", "#aa0000", "#00aa00", "#aa5500", "#0000aa", "#aa00aa", "#00aaaa", "#aaaaaa"),
        *("#555555", "#ff5555", "#55ff55", "#ffff55", "#5555ff", "#ff55ff", "#55ffff", "#ffffff"),
    ),
}
"""The sixteen colours as two terminals have them (from memory)."""


@BOTH
@pytest.mark.parametrize("palette", PALETTES.values(), ids=PALETTES)
def test_in_sixteen_colours_every_word_stands_out_too(
    theme: Theme, palette: tuple[str, ...]
) -> None:
    def shown(colour: str) -> str:
        number = rich.color.Color.parse(colour).downgrade(rich.color.ColorSystem.STANDARD).number
        assert number is not None
        return palette[number]

    few = themes._in_sixteen(theme)
    made = few.to_color_system().generate()
    fronts = [*(few.variables[role] for role in themes.ROLE_VARIABLES), made["foreground"]]
    fronts += [made[name] for name in ("success", "warning", "error", "primary")]
    grounds = (few.background, few.surface, few.panel)
    pairs = [(front, ground) for front in fronts for ground in grounds if ground is not None]
    pairs += [
        (made[f"{bar}-foreground"], made[f"{bar}-background"]) for bar in ("block-cursor", "footer")
    ]
    for front, ground in pairs:
        assert contrast(shown(front), shown(ground)) >= 4.5, (front, ground)


@pytest.mark.parametrize(("term", "few"), [("linux", True), ("xterm-256color", False)])
def test_a_terminal_says_how_many_colours_it_has(
    term: str, few: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TERM", term)
    monkeypatch.setenv("FORCE_COLOR", "1")
    for name in ("COLORTERM", "NO_COLOR"):
        monkeypatch.delenv(name, raising=False)
    assert themes.few_colours() is few


def test_a_terminal_of_sixteen_colours_gets_them() -> None:
    app: App[None] = App()
    app.no_color = False
    themes.install(app, themes.LIGHT, few=True)
    style = app.get_theme(themes.LIGHT)
    assert style is not None
    assert style.variables["caution"] == themes._SIXTEEN[themes.LIGHT]["caution"]


def test_the_sunlight_theme_is_black_on_white() -> None:
    made = SUNLIGHT.to_color_system().generate()
    assert contrast(made["foreground"], made["background"]) == pytest.approx(21)


def test_the_toggle_goes_there_and_back() -> None:
    assert themes.other(themes.DARK) == themes.LIGHT
    assert themes.other(themes.LIGHT) == themes.DARK
    assert themes.other("textual-dark") == themes.LIGHT


def test_every_role_has_a_default_for_other_themes() -> None:
    assert set(themes.variable_defaults()) == set(themes.ROLE_VARIABLES)
    for theme in (SHED, SUNLIGHT):
        assert set(themes.ROLE_VARIABLES) <= set(theme.variables)


def test_without_colours_the_cursor_is_drawn_in_reverse(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    app: App[None] = App()
    themes.install(app)
    style = app.get_theme(themes.DARK)
    assert style is not None
    assert style.variables["block-cursor-text-style"] == "bold reverse"
    assert app.theme == themes.DARK


def test_with_colours_it_is_not_reversed_twice() -> None:
    app: App[None] = App()
    app.no_color = False
    themes.install(app, themes.LIGHT)
    style = app.get_theme(themes.LIGHT)
    assert style is not None
    assert "reverse" not in style.variables["block-cursor-text-style"]


@pytest.mark.parametrize("theme", themes.THEMES, ids=lambda theme: theme.name)
def test_without_colour_the_cursor_is_reversed_once(theme: Theme) -> None:
    """A filled cursor that is reversed as well would look like every other row."""
    plain = themes._without_colour(theme).variables
    assert plain["block-cursor-text-style"] == "bold reverse"
    assert plain["block-cursor-background"] == theme.background
    assert plain["block-cursor-foreground"] == theme.foreground
