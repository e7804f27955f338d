"""How sure a verdict is, through the real command: the rule, past checks, one's own hand and spread."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from benchtui.cli import main
from benchtui.domain.gauging.bracket import Answer
from benchtui.domain.gauging.feel import Try
from benchtui.domain.gauging.verdict import DecisionRule
from benchtui.domain.length import Length
from benchtui.domain.session.facts.events import Opened, Particulars
from benchtui.store.hands import save_hand
from benchtui.store.paths import DataFolder, shipped_specs
from benchtui.text.reading.hand_file import PractisedHand
from benchtui.workshop import Workshop

HEADER = """sheet quay-pump
blades fine-metric
date {day}
odometer {km} km
metal 19 C
who {who}
position 1 mark slack
"""
CHECK = HEADER + "1I 0.06 free\n1I 0.10 refuses\n1E {low} free\n1E {high} refuses\nclose\n"


def play(folder: Path, text: str, *, keep: bool = False) -> None:
    script = folder / "script.txt"
    folder.mkdir(parents=True, exist_ok=True)
    script.write_text(text, encoding="utf-8")
    more = ["--keep-rest"] if keep else ["--json"]
    assert main(["--data", str(folder), "replay", str(script), *more]) in (0, int(keep))


def steps(folder: Path, text: str, capsys: pytest.CaptureFixture[str]) -> list[dict[str, Any]]:
    capsys.readouterr()
    play(folder, text)
    return [json.loads(line) for line in capsys.readouterr().out.splitlines()]


def closing_up(folder: Path) -> None:
    """1E closes up by 0.01 in 4 000 km, as three checks let one guess; a blade so near drags."""
    for day, km, low, high in (
        ("2025-01-10", 2000, "0.10", "0.12"),
        ("2025-05-10", 6000, "0.09", "0.10"),
        ("2025-09-10", 10000, "0.08", "0.09"),
    ):
        text = CHECK.format(day=day, km=km, who="M.", low=low, high=high)
        play(folder, text.replace(f"1E {low} free", f"1E {low} drag"), keep=True)


def test_the_sheets_own_rule_holds_unless_the_session_names_another(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet = (shipped_specs() / "quay-pump.toml").read_text(encoding="utf-8")
    own = tmp_path / "sheets" / "quay-pump.toml"
    own.parent.mkdir()
    own.write_text(sheet.replace("[clearance]", '[clearance]\nrule = "proved"'), encoding="utf-8")
    header = HEADER.format(day="2026-05-01", km=100, who="M.")
    wanted = header + "1I 0.06 free\n1I 0.10 refuses\n"
    proved = steps(tmp_path, wanted, capsys)
    assert (proved[-2]["verdict"], proved[-2]["proved"]) == ("in", False)
    assert proved[-2]["next"] is not None
    plain = steps(tmp_path, f"rule plain\n{wanted}", capsys)
    assert plain[-2]["next"] is None
    capsys.readouterr()
    assert main(["--data", str(tmp_path), "sheet", "quay-pump"]) == 0
    assert "in range is" in (page := capsys.readouterr().out)
    assert "guarded acceptance" in page


@pytest.mark.parametrize("rule", ['"feel"', '"sure"', "true", "1"])
def test_a_sheet_can_ask_for_plain_or_proved_only(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], rule: str
) -> None:
    """By feel is one person's choice after practice, never an engine's."""
    sheet = (shipped_specs() / "quay-pump.toml").read_text(encoding="utf-8")
    own = tmp_path / "quay.toml"
    own.write_text(sheet.replace("[clearance]", f"[clearance]\nrule = {rule}"), encoding="utf-8")
    assert main(["sheet", str(own)]) == 2
    told = capsys.readouterr().err
    assert "clearance.rule" in told
    assert '"plain" or "proved"' in told


def test_a_new_session_takes_what_was_left_and_the_drift_since(tmp_path: Path) -> None:
    closing_up(tmp_path)
    workshop = Workshop(DataFolder(tmp_path), lambda: datetime(2026, 1, 10, 9, tzinfo=UTC))
    opened = workshop.opening(
        workshop.engines.sheet("quay-pump"),
        "fine-metric",
        Particulars(odometer_km=Fraction(14_000)),
    )
    left = {last.valve: last for last in opened.left_last}
    exhaust = left["1E"]
    assert (exhaust.low, exhaust.high) == (Length.mm("0.08"), Length.mm("0.09"))
    # By hand: a line through all three falls by 0.01 to 0.04 mm in 8 000 km; 4 000 km since. With the
    # leaves' errors none is proved; the middle three quarters of the estimate are near that.
    assert exhaust.drift_low is not None
    assert exhaust.drift_high is not None
    assert Length.mm("-0.02") <= exhaust.drift_low < exhaust.drift_high <= Length.mm("-0.0025")
    # 1I is level, as far as its brackets tell.
    assert (left["1I"].drift_low, left["1I"].drift_high) == (None, None)
    assert opened.rule is DecisionRule.PLAIN


def practised(folder: Path) -> None:
    felt = ((-8, "refuses"), (-5, "refuses"), (-4, "drag"), (0, "drag"), (5, "drag"), (9, "drag"))
    tries = tuple(
        Try(Length.um(100 + e), Length.um(100), Answer(a))
        for e, a in (*felt, (10, "free"), (15, "free"))
    )
    save_hand(DataFolder(folder), PractisedHand("M.", date(2026, 4, 1), tries))


def test_by_feel_in_a_replay_by_whoever_has_practised(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    practised(tmp_path)
    header = HEADER.format(day="2026-05-01", km=100, who="M.")
    told = steps(
        tmp_path, f"rule feel\n{header}1I 0.08 drag\n1E 0.10 drag\ntorque x\nclose\n", capsys
    )
    inlet = next(s for s in told if s.get("text") == "1I 0.08 drag")
    assert (inlet["verdict"], inlet["by_feel"], inlet["next"]) == ("undecided", True, None)
    assert told[-1]["summary"]["complete"]
    assert told[-1]["summary"]["valves"]["1I"]["left"]["by_feel"]


def test_by_feel_is_refused_to_whoever_has_not(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    practised(tmp_path)
    header = HEADER.format(day="2026-05-01", km=100, who="Asta")
    told = steps(tmp_path, f"{header}rule feel\n1I 0.08 drag\n", capsys)
    refused = next(s for s in told if s.get("text") == "rule feel")
    assert "Asta has not practised enough" in refused["refused"]
    assert told[-2]["by_feel"] is False


@pytest.mark.parametrize(
    ("who", "reason"), [("", "Nobody is named"), ("who Asta\n", "Asta has not practised enough")]
)
def test_by_feel_in_the_header_costs_its_own_line_only(
    who: str, reason: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    practised(tmp_path)
    text = (
        f"sheet quay-pump\nblades fine-metric\ndate 2026-05-01\nrule feel\n{who}metal 19 C\n"
        "position 1 mark slack\n1I 0.06 free\n1I 0.10 refuses\n"
    )
    told = steps(tmp_path, text, capsys)
    (refused,) = [s for s in told if "refused" in s]
    assert refused["text"] == "rule feel"
    assert reason in refused["refused"]
    assert "plain or proved" in refused["refused"]
    # Plain, as the sheet names no rule of its own; every reading is recorded.
    assert told[-2]["bracket_mm"] == [0.06, 0.1]
    assert (told[-2]["verdict"], told[-2]["by_feel"]) == ("in", False)


def test_by_feel_refused_leaves_the_rule_before_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    header = HEADER.format(day="2026-05-01", km=100, who="Asta")
    readings = "1I 0.06 free\n1I 0.11 refuses\n"
    told = steps(tmp_path, f"rule proved\nrule feel\n{header}{readings}", capsys)
    proved = steps(tmp_path, f"rule proved\n{header}{readings}", capsys)
    plain = steps(tmp_path, f"{header}{readings}", capsys)
    assert told[-2]["next"] == proved[-2]["next"] != plain[-2]["next"]


def test_a_session_kept_before_the_practice_is_known_again_after_it(tmp_path: Path) -> None:
    header = HEADER.format(day="2026-05-01", km=100, who="M.")
    text = f"rule feel\n{header}1I 0.08 drag\n1E 0.10 drag\n"
    workshop = Workshop(DataFolder(tmp_path), lambda: datetime(2026, 5, 1, tzinfo=UTC))
    play(tmp_path, text, keep=True)
    practised(tmp_path)
    play(tmp_path, text, keep=True)
    (row,) = workshop.past_sessions.rows()
    opened = workshop.past_sessions.past(row.session).events[0].fact
    assert isinstance(opened, Opened)
    assert (opened.rule, opened.feel) == (DecisionRule.PLAIN, None)


def test_a_blind_repeat_written_down(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    header = HEADER.format(day="2026-05-01", km=100, who="M.")
    text = (
        "1I 0.06 free\n1I 0.07 refuses\n1I blind\n1E 0.08 free\n1I 0.08 free\n1I 0.09 refuses\n"
        "1I blind end\n"
    )
    told = {s.get("text"): s for s in steps(tmp_path, header + text, capsys)}
    assert told["1I blind"]["blind"] == {"open": True, "brackets_mm": [], "spread_mm": None}
    assert "End the blind repeat" in told["1E 0.08 free"]["refused"]
    assert told["1I 0.09 refuses"]["bracket_mm"] == [0.06, 0.07]
    end = told["1I blind end"]
    assert end["blind"] == {
        "open": False,
        "brackets_mm": [[0.06, 0.07], [0.08, 0.09]],
        "spread_mm": [0.01, 0.03],
    }
    assert "your readings lie at least 0.01 mm apart, at most 0.03 mm" in end["message"]


def test_a_set_that_cannot_decide_says_what_would(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    blades = tmp_path / "blades" / "three.toml"
    blades.parent.mkdir()
    blades.write_text(
        'format = 1\nname = "Three"\nleaves = ["0.05 mm", "0.15 mm"]\n', encoding="utf-8"
    )
    header = HEADER.format(day="2026-05-01", km=100, who="M.").replace("fine-metric", "three")
    last = steps(tmp_path, header + "1I 0.05 free\n1I 0.15 refuses\n", capsys)[-2]
    assert (last["verdict"], last["next"]) == ("undecided", None)
    assert last["lacking"]["wanted_mm"] == [0.06, 0.1]
    assert last["lacking"]["between_mm"] == [0.05, 0.15]
    # The two limits themselves: a size elsewhere between the two readings would leave one open.
    assert last["message"] == "Borrow 0.06 and 0.10, or measure it. 0.05 goes, 0.15 refuses."


def test_what_is_due_names_the_blades_to_get(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    blades = tmp_path / "blades" / "two.toml"
    blades.parent.mkdir()
    blades.write_text(
        'format = 1\nname = "Two"\nleaves = ["0.05 mm", "0.15 mm"]\n', encoding="utf-8"
    )
    header = HEADER.format(day="2026-05-01", km=100, who="M.").replace("fine-metric", "two")
    capsys.readouterr()
    main(["--data", str(tmp_path), "due"])
    assert "Blades to get" not in capsys.readouterr().out
    play(tmp_path, header + "1I 0.05 free\n1I 0.15 refuses\nclose\n", keep=True)
    capsys.readouterr()
    main(["--data", str(tmp_path), "due"])
    told = capsys.readouterr().out
    # 1I, 0.06 to 0.10, stayed open at both limits.
    assert "two: Blades to get: 0.06 mm (once), 0.10 mm (once)." in told
    main(["--data", str(tmp_path), "due", "--json"])
    for line in capsys.readouterr().out.splitlines():
        assert "engine" in json.loads(line)


def test_the_card_tells_the_rule(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    closing_up(tmp_path)
    header = HEADER.format(day="2026-01-10", km=14_000, who="M.")
    play(tmp_path, header + "1E 0.08 free\n1E 0.10 refuses\nclose\n", keep=True)
    capsys.readouterr()
    assert main(["--data", str(tmp_path), "card", "last"]) == 0
    told = capsys.readouterr().out
    assert "plain: blades taken at their known thickness, no guard band" in told
