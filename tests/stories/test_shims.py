"""Engines set by shims, from a sheet's file through ``benchtui replay --json``, session after session."""

from __future__ import annotations

from collections.abc import Callable
from itertools import permutations
from pathlib import Path
from typing import Any, ClassVar

import pytest

Lines = list[dict[str, Any]]
Play = Callable[..., Lines]
WriteSheet = Callable[..., None]

STEPS = 'shims = { from = "2.50 mm", to = "3.50 mm", step = "0.05 mm" }'


@pytest.fixture
def sheet(story_data: Path) -> WriteSheet:
    """Writes a sheet named ``bench``: two cylinders, shims, and blades from 0.03 to 0.60."""

    def written(*adjuster: str, band: str = '["0.15 mm", "0.25 mm"]') -> None:
        more = "\n".join(adjuster)
        text = f"""
format = 1
name = "Test bench"
[layout]
cylinders = ["1", "2"]
firing = {{ 1 = 0, 2 = 360 }}
valves = {{ 1 = ["1I", "1E"], 2 = ["2I", "2E"] }}
[clearance]
inlet = {band}
exhaust = {band}
[adjuster]
kind = "shim"
{more}
"""
        (story_data / "sheets" / "bench.toml").write_text(text, encoding="utf-8")
        leaves = [f'"{hundredth / 100:.2f} mm"' for hundredth in range(3, 61)]
        blades = f'format = 1\nname = "Hundredths"\nleaves = [{", ".join(leaves)}]\n'
        (story_data / "blades" / "hundredths.toml").write_text(blades, encoding="utf-8")

    return written


def script(*lines: str) -> str:
    return (
        "\n".join(
            ["sheet bench", "blades hundredths", "date 2026-05-01", "position 1 mark slack", *lines]
        )
        + "\n"
    )


def gauged(valve: str, low: str, high: str) -> tuple[str, str]:
    return f"{valve} {low} free", f"{valve} {high} refuses"


def shims_of(lines: Lines) -> dict[str, Any]:
    shims = lines[-1]["summary"]["shims"]
    assert isinstance(shims, dict)
    return shims


class TestTheSizeToFit:
    def test_the_published_example(self, play: Play, sheet: WriteSheet) -> None:
        # Source: a workshop manual's worked example: 2.80 fitted, 0.45 measured, 0.25 wanted: 3.00.
        sheet(STEPS, band='["0.20 mm", "0.30 mm"]')
        step = play(script("1I shim 2.80", *gauged("1I", "0.44", "0.46")))[-2]
        assert step["shim"]["fit_mm"] == 3.0
        # Sure: 2.80 + 0.46 - 0.30 to 2.80 + 0.44 - 0.20 (arithmetic).
        assert (step["shim"]["low_mm"], step["shim"]["high_mm"]) == (2.96, 3.04)
        assert "Fit 3.00 mm" in step["message"]
        assert step["turn"] is None

    def test_a_micrometer_outranks_the_stamp(self, play: Play, sheet: WriteSheet) -> None:
        sheet(STEPS, band='["0.20 mm", "0.30 mm"]')
        text = script("1I shim 2.80 measured 2.76", *gauged("1I", "0.44", "0.46"))
        step = play(text)[-2]
        assert (step["shim"]["low_mm"], step["shim"]["high_mm"]) == (2.92, 3.0)
        assert step["shim"]["fit_mm"] == 2.95

    def test_through_a_finger_follower(self, play: Play, sheet: WriteSheet) -> None:
        # With 1.5 of gap to 1 of shim, 0.20 too much takes 0.1333 of shim (arithmetic).
        sheet("ratio = 1.5", STEPS, band='["0.15 mm", "0.35 mm"]')
        step = play(script("1I shim 2.80", *gauged("1I", "0.44", "0.46")))[-2]
        assert step["shim"]["fit_mm"] == 2.95

    def test_without_sizes_on_the_sheet_a_range(self, play: Play, sheet: WriteSheet) -> None:
        sheet()
        step = play(script("1I shim 2.80", *gauged("1I", "0.30", "0.32")))[-2]
        assert step["shim"]["fit_mm"] is None
        # 2.80 + 0.325 - 0.25 to 2.80 + 0.295 - 0.15, each blade 0.005 off (arithmetic).
        assert "Any size from 2.875 mm to 2.945 mm is sure to land" in step["message"]
        assert (step["shim"]["low_mm"], step["shim"]["high_mm"]) == (2.87, 2.95)

    def test_sure_is_only_what_the_blades_errors_cannot_put_out(
        self, play: Play, sheet: WriteSheet
    ) -> None:
        sheet(STEPS)
        # 2.85 to 2.91 land, 2.855 to 2.905 with the blades 0.005 off as well (arithmetic).
        step = play(script("1I shim 2.80", *gauged("1I", "0.26", "0.30")))[-2]
        assert (step["shim"]["fit_mm"], step["shim"]["sure"]) == (2.9, True)
        assert "Fit 2.90 mm: sure to land in range." in step["message"]
        # 2.95 and no other; one blade off by anything, and it is out.
        step = play(script("1I shim 2.80", *gauged("1I", "0.30", "0.40")))[-2]
        assert (step["shim"]["fit_mm"], step["shim"]["sure"]) == (2.95, False)
        assert "Fit 2.95 mm: should land in range; the blades' own errors" in step["message"]
        sheet()
        step = play(script("1I shim 2.80", *gauged("1I", "0.30", "0.40")))[-2]
        assert (step["shim"]["fit_mm"], step["shim"]["sure"]) == (None, False)
        assert "Any size from 2.95 mm to 2.95 mm should land in range" in step["message"]

    def test_too_wide_a_bracket_wants_a_finer_one(self, play: Play, sheet: WriteSheet) -> None:
        sheet(STEPS)
        step = play(script("1I shim 2.80", *gauged("1I", "0.30", "0.45")))[-2]
        assert (step["shim"]["fit_mm"], step["shim"]["sure"]) == (None, False)
        assert "Measure finer" in step["message"]

    def test_what_is_fitted_must_be_known(self, play: Play, sheet: WriteSheet) -> None:
        sheet(STEPS)
        *_, read, told, _ = play(script(*gauged("1I", "0.30", "0.32"), "1I shim found 2.80"))
        assert "size fitted at 1I is not known" in read["message"]
        # It was in when the valve was gauged, so nothing need be measured again.
        assert told["bracket_mm"] == [0.3, 0.32]
        assert told["shim"]["fit_mm"] == 2.9

    def test_the_same_shim_measured_after_the_readings_keeps_them(
        self, play: Play, sheet: WriteSheet
    ) -> None:
        sheet(STEPS)
        lines = ("1I shim 2.80", *gauged("1I", "0.30", "0.32"), "1I shim 2.80 measured 2.76")
        *_, told, end = play(script(*lines))
        assert told["bracket_mm"] == [0.3, 0.32]
        # 2.76 + 0.32 - 0.25 to 2.76 + 0.30 - 0.15 (arithmetic).
        assert (told["shim"]["low_mm"], told["shim"]["high_mm"]) == (2.83, 2.91)
        shims = end["summary"]["shims"]
        assert shims["fitted"]["1I"] == {"stamp_mm": 2.8, "measured_mm": 2.76}
        assert "1I" not in shims["left_out"]
        # Measured once more, it is the same shim still, and the better word counts.
        again = play(script(*lines, "1I shim 2.80 measured 2.77"))[-2]
        assert again["bracket_mm"] == [0.3, 0.32]
        assert (again["shim"]["low_mm"], again["shim"]["high_mm"]) == (2.84, 2.92)

    def test_a_size_told_after_the_readings_is_what_was_in(
        self, play: Play, sheet: WriteSheet
    ) -> None:
        sheet(STEPS)
        lines = (*gauged("1I", "0.30", "0.32"), "1I shim 3.00 measured 2.98")
        *_, told, end = play(script(*lines))
        assert (told["bracket_mm"], told["verdict"]) == ([0.3, 0.32], "wide")
        assert end["summary"]["shims"]["left_out"].keys() == {"1E", "2I", "2E"}
        # With nothing known and nothing that goes, it was fitted blindly: measure again.
        blind = play(script("1I 0.03 refuses", "position 1 mark still inlet", "1I shim 2.60"))[-2]
        assert (blind["verdict"], blind["bracket_mm"]) == ("none", [0.0, None])

    @pytest.mark.parametrize(
        "other",
        [
            "1I shim 2.80",  # nothing new of the old one, so a new one
            "1I shim 2.85 measured 2.80",
            "1I shim 2.80 measured 2.75",  # 0.05 less than before is another shim
            "1I shim 2.80 measured 2.81",  # that one lay in the drawer
            "1I shim 2.80 measured 2.79",  # that one was in 1E
        ],
    )
    def test_another_shim_of_the_same_stamp_is_measured_again(
        self, play: Play, sheet: WriteSheet, other: str
    ) -> None:
        sheet(STEPS)
        known = ("spare 2.80 measured 2.81", "1E shim 2.80 measured 2.79")
        lines = ("1I shim 2.80 measured 2.80", *gauged("1I", "0.30", "0.32"), other)
        step = play(script(*known, *lines))[-2]
        assert "refused" not in step
        assert (step["verdict"], step["bracket_mm"]) == ("none", [0.0, None])

    def test_a_shim_changed_after_gauging_is_measured_again(
        self, play: Play, sheet: WriteSheet
    ) -> None:
        sheet(STEPS)
        lines = ("1I shim 2.80", *gauged("1I", "0.30", "0.32"), "1I shim 2.90")
        step = play(script(*lines))[-2]
        assert (step["verdict"], step["bracket_mm"]) == ("none", [0.0, None])
        assert "measure it again" in step["message"]

    def test_stamp_and_micrometer_of_two_shims(self, play: Play, sheet: WriteSheet) -> None:
        sheet(STEPS)
        refused = play(script("1I shim 2.80 measured 2.40"))[-2]["refused"]
        assert "stamped 2.80 mm does not measure 2.40 mm" in refused


class TestSwapAndOrder:
    FITTED: ClassVar = {"1I": 280, "1E": 275, "2I": 290, "2E": 285}
    GAPS: ClassVar = {"1I": (25, 26), "1E": (10, 11), "2I": (10, 11), "2E": (30, 31)}

    def text(self, fitted: dict[str, int], gaps: dict[str, tuple[int, int]]) -> str:
        lines = []
        for name, size in fitted.items():
            if name == "2I":
                lines.append("position 2 mark slack")
            lines.append(f"{name} shim {size / 100:.2f}")
            low, high = gaps[name]
            lines += gauged(name, f"{low / 100:.2f}", f"{high / 100:.2f}")
        return script(*lines)

    def test_what_goes_where_and_what_to_buy(self, play: Play, sheet: WriteSheet) -> None:
        sheet(STEPS)
        shims = shims_of(play(self.text(self.FITTED, self.GAPS)))
        # 1I may have 2.81 to 2.90, 1E 2.61 to 2.70, 2I 2.76 to 2.85, 2E 2.91 to 3.00 (arithmetic):
        # of what is in, 2.90 or 2.85 fit 1I, 2.80 or 2.85 fit 2I, nothing fits 1E and 2E.
        assert shims["lands_mm"]["1I"] == [2.81, 2.9]
        assert shims["sure_mm"]["1I"] == [2.815, 2.895]
        assert [b["count"] for b in shims["buy"]] == [1, 1]
        origins = {p["valve"]: p["origin"] for p in shims["plan"]}
        assert origins == {
            "1I": "from another valve",
            "1E": "to buy",
            "2I": "from another valve",
            "2E": "to buy",
        }
        used = [p["from"] for p in shims["plan"] if p["from"]]
        assert len(set(used)) == len(used) == 2

    def test_no_exchange_buys_fewer(self, play: Play, sheet: WriteSheet) -> None:
        """Every way to lay the four shims, tried out."""
        sheet(STEPS)
        shims = shims_of(play(self.text(self.FITTED, self.GAPS)))
        sure = {name: tuple(ends) for name, ends in shims["lands_mm"].items()}
        names = list(self.FITTED)
        best = max(
            sum(
                sure[name][0] <= self.FITTED[source] / 100 <= sure[name][1]
                for name, source in zip(names, order, strict=True)
                if name != source
            )
            for order in permutations(names)
        )
        assert sum(b["count"] for b in shims["buy"]) == len(names) - best

    def test_a_valve_in_range_is_left_alone(self, play: Play, sheet: WriteSheet) -> None:
        sheet(STEPS)
        gaps = {**self.GAPS, "2E": (16, 17), "1E": (23, 24)}
        shims = shims_of(play(self.text(self.FITTED, gaps)))
        origins = {p["valve"]: p["origin"] for p in shims["plan"]}
        assert origins["1E"] == origins["2E"] == "stays"
        assert shims["buy"] == []

    def test_a_valve_in_range_gives_its_shim_where_that_saves_one(
        self, play: Play, sheet: WriteSheet
    ) -> None:
        sheet(STEPS)
        fitted = {"1I": 280, "1E": 285, "2I": 280, "2E": 280}
        # 1I wants 2.86 to 2.95, and nothing that is in will do.
        gaps = {"1I": (30, 31), "1E": (20, 21), "2I": (20, 21), "2E": (20, 21)}
        shims = shims_of(play(self.text(fitted, gaps)))
        assert shims["buy"] == [{"size_mm": 2.9, "count": 1}]
        # But a 2.88 in a valve that can do with 2.80 as well is worth the swap.
        fitted = {**fitted, "1E": 288}
        gaps = {**gaps, "1E": (15, 16)}
        shims = shims_of(play(self.text(fitted, gaps)))
        moved = {
            p["valve"]: p["from"] for p in shims["plan"] if p["from"] not in (None, p["valve"])
        }
        assert (moved, shims["buy"]) == ({"1I": "1E", "1E": "1I"}, [])

    def test_the_order_stands_while_the_shims_are_changed(
        self, play: Play, sheet: WriteSheet
    ) -> None:
        sheet(STEPS)
        before = shims_of(play(self.text(self.FITTED, self.GAPS)))
        changed = self.text(self.FITTED, self.GAPS) + "1I shim 2.90\n2I shim 2.80\n"
        assert shims_of(play(changed))["buy"] == before["buy"]

    def test_what_is_not_reckoned_says_why(self, play: Play, sheet: WriteSheet) -> None:
        sheet(STEPS)
        lines = (*gauged("1I", "0.30", "0.31"), "1E shim 2.80", "1E 0.03 refuses")
        left_out = shims_of(play(script(*lines)))["left_out"]
        assert "size fitted is not known" in left_out["1I"]
        assert "clearance may be gone" in left_out["1E"]
        assert left_out["2I"] == "not gauged yet."

    def test_under_the_bucket(self, play: Play, sheet: WriteSheet) -> None:
        sheet(STEPS, "under_bucket = true")
        note = shims_of(play(self.text(self.FITTED, self.GAPS)))["note"]
        assert "come out with the cams only" in note

    def test_an_engine_with_screws_has_none(self, play: Play) -> None:
        lines = play(
            "sheet plain-single\nblades leaves-f\nmetal 19 C\nposition 1 mark slack\n1I 0.08 free\n"
        )
        assert lines[-1]["summary"]["shims"] is None


class TestTheNextSession:
    def first(self, play: Play) -> None:
        lines = ["1I shim 2.80", *gauged("1I", "0.30", "0.32"), "1I shim 2.90 measured 2.89"]
        lines += [*gauged("1I", "0.20", "0.22"), "1E shim 2.75", *gauged("1E", "0.20", "0.21")]
        play(script(*lines, "close"), keep=True)

    def test_it_begins_with_what_was_fitted(self, play: Play, sheet: WriteSheet) -> None:
        sheet(STEPS)
        self.first(play)
        lines = play(script(*gauged("1I", "0.30", "0.31")))
        fitted = shims_of(lines)["fitted"]
        assert fitted["1I"] == {"stamp_mm": 2.9, "measured_mm": 2.89}
        assert fitted["1E"] == {"stamp_mm": 2.75, "measured_mm": None}
        # 2.89 + 0.31 - 0.25 to 2.89 + 0.30 - 0.15 (arithmetic).
        step = lines[-2]
        assert (step["shim"]["low_mm"], step["shim"]["high_mm"]) == (2.95, 3.04)

    def test_it_is_carried_on_though_nobody_tells_it_again(
        self, play: Play, sheet: WriteSheet
    ) -> None:
        sheet(STEPS)
        self.first(play)
        later = script(*gauged("1I", "0.20", "0.21"), "close").replace("2026-05", "2026-11")
        play(later, keep=True)
        fitted = shims_of(play(script("1I 0.20 free")))["fitted"]
        assert fitted["1I"] == {"stamp_mm": 2.9, "measured_mm": 2.89}

    def test_what_is_found_now_outranks_it(self, play: Play, sheet: WriteSheet) -> None:
        sheet(STEPS)
        self.first(play)
        fitted = shims_of(play(script("1I shim 3.00", "1I 0.20 free")))["fitted"]
        assert fitted["1I"] == {"stamp_mm": 3.0, "measured_mm": None}


class TestTheDrawer:
    LINES = ("1I shim 2.80", *gauged("1I", "0.30", "0.31"))

    def test_what_lies_there_is_not_bought(self, play: Play, sheet: WriteSheet) -> None:
        sheet(STEPS)
        assert shims_of(play(script(*self.LINES)))["buy"] == [{"size_mm": 2.9, "count": 1}]
        shims = shims_of(play(script(*self.LINES, "spare 2.85 measured 2.87")))
        (placed,) = shims["plan"]
        assert (placed["origin"], placed["fit_mm"]) == ("from the stock", 2.85)
        assert (placed["measured_mm"], shims["buy"]) == (2.87, [])

    def test_a_stamp_that_does_not_hold_is_of_no_use(self, play: Play, sheet: WriteSheet) -> None:
        sheet(STEPS)
        # 2.86 to 2.95 are sure to land (arithmetic); this one is worn down to 2.83.
        shims = shims_of(play(script(*self.LINES, "spare 2.90 measured 2.83")))
        assert len(shims["buy"]) == 1

    def test_it_is_used_once(self, play: Play, sheet: WriteSheet) -> None:
        sheet(STEPS)
        lines = [*self.LINES, "1E shim 2.80", *gauged("1E", "0.30", "0.31"), "spare 2.90"]
        plan = shims_of(play(script(*lines)))
        assert sum(b["count"] for b in plan["buy"]) == 1
        # Fitted, the plan stands until it is gauged; then the drawer is empty.
        fitted = shims_of(play(script(*lines, "1I shim 2.90")))
        assert fitted["buy"] == plan["buy"]
        read = shims_of(play(script(*lines, "1I shim 2.90", *gauged("1I", "0.20", "0.21"))))
        assert {p["valve"]: p["origin"] for p in read["plan"]} == {"1I": "stays", "1E": "to buy"}

    def test_measured_after_it_was_fitted_it_is_out_of_the_drawer(
        self, play: Play, sheet: WriteSheet
    ) -> None:
        sheet(STEPS)
        lines = [*self.LINES, "spare 2.90", "1I shim 2.90", *gauged("1I", "0.20", "0.21")]
        more = ["1I shim 2.90 measured 2.88", "1E shim 2.80", *gauged("1E", "0.30", "0.31")]
        plan = shims_of(play(script(*lines, *more)))
        assert {p["valve"]: p["origin"] for p in plan["plan"]} == {"1I": "stays", "1E": "to buy"}

    def test_undone_it_was_never_there(self, play: Play, sheet: WriteSheet) -> None:
        sheet(STEPS)
        assert len(shims_of(play(script(*self.LINES, "spare 2.90", "undo")))["buy"]) == 1

    def test_only_for_shims_and_only_sizes(self, play: Play, sheet: WriteSheet) -> None:
        sheet(STEPS)
        assert "up to 20.00 mm" in play(script("spare 28"))[-2]["refused"]
        text = "sheet plain-single\nblades leaves-f\nspare 2.80\n"
        assert "not set by shims" in play(text)[-2]["refused"]


def test_under_a_bucket_no_stamp_is_asked_for_before_the_cams_are_out(
    play: Callable[..., list[dict[str, Any]]],
) -> None:
    """Nobody can read it there (common practice: gaps first, then the cams, then the stamps)."""
    begin = "sheet ferry-tender\nblades hundredths\nmetal 19 C\nposition 1 mark lobes\n"
    steps = play(f"{begin}1I-right 0.30 free\n1I-right 0.35 refuses\n")[:-1]
    assert steps[-1]["verdict"] == "wide"
    assert not any("stamp" in step["message"] for step in steps)
