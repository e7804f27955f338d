from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchtui.domain.adjusting.shims import Shim, pick, shim_fit, why_none
from benchtui.domain.gauging.bracket import Bracket
from benchtui.domain.length import ZERO, Length
from benchtui.domain.sheet import Band
from benchtui.text.words.refusals import refusal_words
from tests.refusing import must_refuse


def mm(text: str) -> Length:
    return Length.mm(text)


def bracket(low: str, high: str | None, error: str = "0") -> Bracket:
    """Gauged by blades that may each be off by ``error``."""
    top = None if high is None else mm(high)
    return Bracket(mm(low), top, mm(low) - mm(error), None if top is None else top + mm(error))


BAND = Band(mm(".20"), mm(".30"))
STOCK = tuple(Length.um(um) for um in range(2000, 3501, 50))


def test_the_worked_example() -> None:
    # Source: workshop manual worked example: fitted 2.80, measured 0.45, wanted 0.25: fit 3.00.
    fit = shim_fit(bracket(".45", ".45"), BAND, Shim(mm("2.80")))
    assert fit.ideal == mm("3.00")
    assert pick(fit, STOCK) == mm("3.00")


def test_the_range_from_both_ends() -> None:
    # Source: arithmetic. .40 to .45 over 2.80: at most .30 from .45 wants 2.95, at least .20
    # from .40 wants 3.00.
    fit = shim_fit(bracket(".40", ".45"), BAND, Shim(mm("2.80")))
    assert (fit.low, fit.high) == (mm("2.95"), mm("3.00"))
    assert pick(fit, STOCK) == mm("2.95")  # as near as 3.00, and thinner
    assert fit.lands(mm("2.95")) == (mm(".25"), mm(".30"))
    assert fit.lands(mm("3.00")) == (mm(".20"), mm(".25"))


def test_both_ends_of_the_range_belong_to_it() -> None:
    fit = shim_fit(bracket(".40", ".45"), BAND, Shim(mm("2.80")))
    assert fit.holds(fit.low)
    assert fit.holds(fit.high)
    assert not fit.holds(fit.low - Length(1))
    assert not fit.holds(fit.high + Length(1))
    # A bracket just as wide as the range leaves one single size.
    one = shim_fit(bracket(".40", ".50"), BAND, Shim(mm("2.80")))
    assert one.possible
    assert one.low == one.high == mm("3.00")
    assert "one that does" in why_none(one)


def test_sure_is_what_lands_with_the_blades_errors_against_us() -> None:
    # Source: arithmetic. Off by 0.005 each, .40 to .45 may be .395 to .455: 2.955 to 2.995.
    fit = shim_fit(bracket(".40", ".45", "0.005"), BAND, Shim(mm("2.80")))
    assert (fit.low, fit.high) == (mm("2.95"), mm("3.00"))
    assert fit.sure_ends == (mm("2.955"), mm("2.995"))
    for size, holds, sure in (
        ("2.949", False, False),
        ("2.95", True, False),
        ("2.954", True, False),
        ("2.955", True, True),
        ("2.995", True, True),
        ("2.996", True, False),
        ("3.00", True, False),
        ("3.001", False, False),
    ):
        assert (fit.holds(mm(size)), fit.sure(mm(size))) == (holds, sure), size
    # A sure size comes before one that is nearer the ideal, 2.975.
    assert pick(fit, [mm("2.95"), mm("2.995")]) == mm("2.995")
    lopsided = Bracket(mm(".40"), mm(".45"), mm(".40"), mm(".475"))
    leaning = shim_fit(lopsided, BAND, Shim(mm("2.80")))
    assert leaning.sure_ends == (mm("2.975"), mm("3.00"))
    assert pick(leaning, [mm("2.97"), mm("2.99")]) == mm("2.99")


def test_blades_may_be_too_rough_for_any_size_to_be_sure() -> None:
    # .40 to .50 over a range just as wide: one size lands, and none with an error more.
    fit = shim_fit(bracket(".40", ".50", "0.001"), BAND, Shim(mm("2.80")))
    assert fit.possible
    assert fit.sure_ends is None
    assert not fit.sure(fit.ideal)
    # .40 to .49 with 0.005 more either way is just as wide as the range: one size is sure.
    just = shim_fit(bracket(".40", ".49", "0.005"), BAND, Shim(mm("2.80")))
    assert just.sure_ends == (mm("2.995"), mm("2.995"))
    # Where nobody knows how far the blades may be off, nothing is sure.
    unknown = shim_fit(Bracket(mm(".40"), mm(".45")), BAND, Shim(mm("2.80")))
    assert unknown.possible
    assert unknown.sure_ends is None


def test_an_empty_range_means_measure_finer() -> None:
    fit = shim_fit(bracket(".35", ".50"), BAND, Shim(mm("2.80")))
    assert not fit.possible
    assert fit.sure_ends is None
    assert pick(fit, STOCK) is None
    assert fit.bracket_needed() == mm(".10")
    assert fit.bracket_needed(mm(".05")) == mm(".05")
    assert why_none(fit) == (
        "Measure finer: the bracket is 0.15 mm wide, and 0.10 mm or less would leave a size that "
        "should land in range."
    )


def test_steps_too_coarse_and_sizes_not_at_hand() -> None:
    fit = shim_fit(bracket(".40", ".45"), BAND, Shim(mm("2.80")))
    assert "too coarse" in why_none(fit, mm(".10"))
    assert "between 2.95 mm and 3.00 mm" in why_none(fit)


def test_the_micrometer_counts_more_than_the_stamp() -> None:
    worn = Shim(mm("2.80"), measured=mm("2.77"), error=Length.um(2))
    fit = shim_fit(bracket(".45", ".45"), BAND, worn, new_error=Length.um(3))
    assert fit.ideal == mm("2.97")
    # The errors of both shims are taken off each end.
    assert (fit.low, fit.high) == (mm("2.925"), mm("3.015"))
    assert str(worn) == "2.80 mm (measures 2.77 mm)"
    assert str(Shim(mm("2.80"))) == str(Shim(mm("2.80"), mm("2.80"))) == "2.80 mm"


def test_a_finger_follower_moves_the_gap_by_its_ratio() -> None:
    # Source: geometry. With 1.5 of gap for 1 of shim, .30 of gap is .20 of shim.
    fit = shim_fit(bracket(".55", ".55"), BAND, Shim(mm("2.80")), Fraction(3, 2))
    assert fit.ideal == mm("3.00")
    assert fit.low == Length(2_966_667)  # 2.80 + .25 / 1.5, rounded into the range
    rough = Shim(mm("2.80"), error=Length.um(10))
    unsure = shim_fit(bracket(".55", ".55"), BAND, rough, Fraction(3, 2), Length.um(10))
    # 20 um of shim either way are 30 of gap.
    assert unsure.lands(mm("3.00")) == (mm(".22"), mm(".28"))
    assert unsure.bracket_needed() == mm(".04")
    # Rounded down: a bracket a nanometre wider would not do.
    third = shim_fit(bracket(".55", ".55"), BAND, rough, Fraction(5, 3))
    assert third.bracket_needed() == Length(66_666)


def test_no_shim_without_a_bracket() -> None:
    with must_refuse("no blade has refused"):
        shim_fit(bracket(".40", None), BAND, Shim(mm("2.80")))
    with must_refuse("contradict"):
        shim_fit(bracket(".40", ".30"), BAND, Shim(mm("2.80")))
    with must_refuse("gone altogether") as caught:
        shim_fit(bracket("0", ".05"), BAND, Shim(mm("2.80")))
    assert "thinner shim" in refusal_words(caught.value)


def test_what_is_no_shim() -> None:
    with pytest.raises(ValueError, match="above zero"):
        Shim(ZERO)
    with pytest.raises(ValueError, match="zero or above"):
        Shim(mm("2.80"), error=-Length.um(1))
    with pytest.raises(ValueError, match="ratio"):
        shim_fit(bracket(".4", ".45"), BAND, Shim(mm("2.80")), Fraction(0))


UM = st.integers(1, 600)
RATIOS = st.sampled_from([Fraction(1), Fraction(3, 2), Fraction(5, 3), Fraction(7, 10)])


@given(
    st.tuples(UM, st.integers(0, 150)),
    st.tuples(UM, st.integers(0, 200)),
    RATIOS,
    st.integers(0, 8),
    st.data(),
)
def test_every_true_clearance_lands_in_range(
    seen: tuple[int, int], wanted: tuple[int, int], ratio: Fraction, err: int, data: st.DataObject
) -> None:
    (low, width), (band_low, band_width) = seen, wanted
    band = Band(Length.um(band_low), Length.um(band_low + band_width))
    blades = data.draw(st.integers(0, 5))
    gauged = Bracket(
        Length.um(low),
        Length.um(low + width),
        Length.um(low - blades),
        Length.um(low + width + blades),
    )
    fit = shim_fit(gauged, band, Shim(mm("2.80"), error=Length.um(err)), ratio, Length.um(err))
    true_gap = data.draw(st.integers(low * 1000, (low + width) * 1000))
    old = 2_800_000 + data.draw(st.integers(-err * 1000, err * 1000))
    if fit.possible:
        size = data.draw(st.integers(fit.low.nm, fit.high.nm))
        new = size + data.draw(st.integers(-err * 1000, err * 1000))
        left = true_gap + ratio * (old - new)
        assert band.low.nm <= left <= band.high.nm
        least, most = fit.lands(Length(size))
        assert least.nm <= left <= most.nm
    if fit.sure_ends is not None:
        size = data.draw(st.integers(fit.sure_ends[0].nm, fit.sure_ends[1].nm))
        assert fit.holds(Length(size))
        assert gauged.wide_high is not None
        for gap, off in ((gauged.wide_low.nm, -err), (gauged.wide_high.nm, err)):
            left = gap + ratio * (2_800_000 + off * 1000 - (size - off * 1000))
            assert band.low.nm <= left <= band.high.nm
    # The ends themselves land, at the worst, and what they may leave is rounded outwards.
    for end in (fit.low, fit.high) if fit.possible else ():
        worst = [
            gap + ratio * (2_800_000 + off * 1000 - (end.nm - off * 1000))
            for gap, off in ((low * 1000, -err), ((low + width) * 1000, err))
        ]
        assert band.low.nm <= worst[0]
        assert worst[1] <= band.high.nm
        least, most = fit.lands(end)
        assert 0 <= worst[0] - least.nm < 1
        assert 0 <= most.nm - worst[1] < 1
    # And the range gives nothing away: one nanometre beyond, some true clearance lands outside.
    e = err * 1000
    above = low * 1000 + ratio * (2_800_000 - e - (fit.high.nm + 1) - e)
    below = (low + width) * 1000 + ratio * (2_800_000 + e - (fit.low.nm - 1) + e)
    assert above < band.low.nm
    assert below > band.high.nm
    # A bracket as narrow as asked for does leave a size, up to the nanometre of rounding.
    if width * 1000 <= fit.bracket_needed().nm - 2:
        assert fit.possible
