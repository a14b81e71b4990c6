"""Diffuser materials, what makes the oxygen of bubbles uncertain, the two paths, fine against coarse, and the words."""

import re

import numpy as np
import pytest
from scipy.integrate import quad

from pondcalc import air, datafiles, water
from pondcalc.bubbles_and_oxygen import bubbles, buckettest, plume, transfer
from pondcalc.bubbles_and_oxygen.comparison import (
    CORE,
    MATERIALS,
    RIDE,
    carried_column,
    compare_paths,
    oxygen_by_bubbles,
    same_air,
    same_power,
    surface_uptake,
    transfer_doubt,
)
from pondcalc.bubbles_and_oxygen.plume import Column, Stop, uniform_column
from pondcalc.door import comparison
from pondcalc.units import QuantityError, Range
from pondcalc.water import STANDARD, Water


def test_materials_are_complete_ranges_and_say_where_they_come_from():
    for kind in MATERIALS.values():
        for span in (kind.bubble_diameter, kind.wet_pressure):
            assert span.low < span.usual < span.high
        assert kind.source == "common practice, no source"
    assert "label" in MATERIALS["stone"].cleaning and "bleach" in MATERIALS["stone"].cleaning
    with pytest.raises(QuantityError, match="Choose: stone"):
        comparison.material("sponge")


CFM = 0.3048**3 / 60
ACRE = 4046.86


def pond():
    return Column(np.array([0.0, 1.5, 2.5, 6.1]), Water(np.array([27.0, 27.0, 19.0, 16.0])),
                  np.array([8.0, 7.0, 1.0, 0.0]))


def test_surface_uptake_is_the_steady_balance_of_the_top_layer():
    # Q (C_in - C) + k A (C_s - C) = 0, solved by hand for one case
    q, c_in, cs, k = 0.2, 1.0, 8.0, 6e-6
    level = (q * c_in + k * ACRE * cs) / (q + k * ACRE)
    assert surface_uptake(q, c_in, cs, ACRE, k) == pytest.approx(k * ACRE * (cs - level) * 1e-3)
    # so much water that the surface rules: k A (Cs - C); so little that all of it fills: Q (Cs - C)
    assert surface_uptake(1e6, 2.0, 8.0, ACRE, k) == pytest.approx(k * ACRE * 6.0 * 1e-3, rel=1e-5)
    assert surface_uptake(1e-9, 2.0, 8.0, ACRE, k) == pytest.approx(1e-9 * 6.0 * 1e-3, rel=1e-5)
    # k600 of sheltered lakes, 0.35 to 0.74 m/d: Cole et al. (2010), abstract seen
    assert (comparison.EXCHANGE.low * 86400, comparison.EXCHANGE.high * 86400) == pytest.approx((0.35, 0.74))


@pytest.mark.parametrize("core", CORE)
def test_ride_in_the_middle_of_a_bell(core):
    # water exp(-x^2) across the plume, bubbles exp(-(x/core)^2); the plume's mean speed is momentum over volume flux
    def over(function):
        return quad(lambda x: function(x) * x, 0, 12)[0]
    carried = over(lambda x: np.exp(-x**2 - (x / core) ** 2)) / over(lambda x: np.exp(-(x / core) ** 2))
    mean = over(lambda x: np.exp(-2 * x**2)) / over(lambda x: np.exp(-x**2))
    assert plume.ride(core) == pytest.approx(carried / mean, rel=1e-6)


def test_core_is_what_was_published():
    # 0.8: Wüest, Brooks and Imboden (1992); 1 - 0.19 U^0.61: Socolofsky and Adams (2005); both second-hand.
    # 1 cfm under 28 C over 14 C in 20 ft: B 2.91e-3 m4/s3, N 0.0697 1/s, so U = 0.23/(B N)^(1/4) is 1.93 (computed);
    # the weak layering of early summer, N 0.01, makes it 3.1
    assert CORE.high == 0.8
    layered, weak = (1 - 0.19 * (0.23 / (2.91e-3 * n) ** 0.25) ** 0.61 for n in (0.0697, 0.01))
    assert CORE.low < weak == pytest.approx(CORE.usual, abs=0.03) and layered < CORE.high


def test_plume_carries_bubbles_through_faster():
    carried = carried_column(CFM, 5.8, pond())
    mean = plume.plume_profile(CFM, 5.8, pond()).speed
    assert np.max(carried.plume_speed) == pytest.approx(1.47 * np.max(mean), rel=2e-3)      # 2/(1 + 0.6^2)
    assert carried.at("temperature", 2.0) == pytest.approx(pond().at("temperature", 2.0), abs=0.1)


@pytest.mark.parametrize("kind, low, high", [("membrane", 1.0, 1.3), ("drilled pipe", 0.6, 0.8)])
def test_lone_diffuser_beside_spiral_rolls(kind, low, high):
    # percent a foot at 15 ft, clean water, diffusers along one side so that the water turns: perforated membrane tubes
    # 1.0 to 1.3, coarse bubbles 0.6 to 0.8 (US EPA 1989, EPA/625/1-89/023, as reprinted; from memory, not verified).
    # Those tests count what the tank took in at its surface as well.
    given = np.array(oxygen_by_bubbles(3 * CFM, 15 * 0.3048, uniform_column(), kind))
    found = 100 * given / air.oxygen_mass_flow(3 * CFM) / 15
    if kind == "membrane":
        assert found[0] < low < found[1] / transfer.ALPHA.usual < high < found[2]
    else:       # ours is too low: the band begins a little above the range
        assert found[2] < low < 1.2 * found[2]


@pytest.mark.parametrize("kind", MATERIALS)
def test_each_doubt_alone_lies_within_the_range(kind):
    # every doubt at its ends, by the model itself, the others as usual
    depth, flow, sizes, alpha = 3.7, 1.5 * CFM, MATERIALS[kind].bubble_diameter, transfer.ALPHA
    carried = carried_column(flow, depth, pond())
    low, usual, high = np.array(oxygen_by_bubbles(flow, depth, pond(), kind)) / air.oxygen_mass_flow(flow)

    def share(size=sizes.usual, law="natural", water=alpha.usual, ride=RIDE.usual):
        column = Column(carried.depth, carried.water, carried.dissolved_oxygen,
                        carried.plume_speed * ride / RIDE.usual)
        each, weight = bubbles.size_spread(size)
        laws = bubbles.Physics(transfer=bubbles.TRANSFER_FORMS[law], alpha=water)
        left = bubbles.follow(np.clip(each, 1e-4, 0.02), depth, column, laws)[0]
        return float((1 - left / water_share) @ weight)
    water_share = bubbles.OXYGEN_SHARE
    assert share() == pytest.approx(usual, rel=1e-3)
    alone = [share(size=sizes.low), share(size=sizes.high), share(law="free skin"), share(law="stiff skin"),
             share(water=alpha.low), share(water=alpha.high), share(ride=RIDE.low), share(ride=RIDE.high)]
    assert low < min(alone) and max(alone) < 1.05 * high
    assert share(sizes.high, "stiff skin", alpha.low, RIDE.high) < low, "not every bad end at once"


def test_doubts_add_by_the_squares_of_their_logs():
    # one size for all, no plume: only skins (natural 4.0e-4 m/s at 3 mm; free 4.42e-4 and stiff 0.847e-4 at
    # 2.0e-9 m2/s, so times the root of 1.76/2.0) and alpha (0.66, 0.94, 1.07) are left
    found = transfer_doubt(comparison.material("stone").bubble_diameter._replace(low=3e-3, high=3e-3), 0.0, 20.0)
    assert found.usual == transfer.ALPHA.usual
    free = np.log(4.42 * np.sqrt(1.76 / 2.0) / 4.0)
    assert np.log(found.high / 0.94) == pytest.approx(np.hypot(free, np.log(1.07 / 0.94)), rel=0.02)
    assert np.log(0.94 / found.low) > np.log(4.0 / 0.847)


def test_bubbles_give_less_than_they_carry_and_small_ones_more():
    fine = oxygen_by_bubbles(CFM, 5.8, pond(), "membrane")
    coarse = oxygen_by_bubbles(CFM, 5.8, pond(), "drilled pipe")
    assert 0 < coarse.low < coarse.usual < coarse.high < fine.usual
    assert fine.high < air.oxygen_mass_flow(CFM)


def test_bubbles_take_oxygen_out_of_water_that_has_too_much():
    found = oxygen_by_bubbles(CFM, 3.0, uniform_column(STANDARD, 20.0), "membrane")
    assert found.low < found.usual < found.high < 0


def test_paths_side_by_side():
    found = compare_paths(2 * CFM, 5.8, pond(), ACRE, "membrane", 2)
    assert found.ratio.low < found.ratio.usual < found.ratio.high
    assert found.ratio.usual == pytest.approx(found.surface.usual / found.bubbles.usual)
    assert 0 < found.arriving_oxygen < 8
    # never more than the whole surface can take in at that shortage
    most = comparison.EXCHANGE.high * ACRE * (water.oxygen_saturation(27.0) - found.arriving_oxygen) * 1e-3
    assert found.surface.high < most


def test_equal_power_and_equal_air():
    deep, shallow = (same_power(250.0, depth, pond()) for depth in (5.8, 2.0))
    for options in (deep, shallow):
        # adiabatic work by hand: k/(k-1) R T [(P2/P1)^((k-1)/k) - 1] with k 1.4, R 287.05, T 293.15
        work = 3.5 * 287.053 * 293.15 * ((1 + options.pressure_gauge / 101325) ** (1 / 3.5) - 1)
        assert options.flow_free_air * 1.2041 * work / comparison.EFFICIENCY == pytest.approx(250.0, rel=1e-3)
        assert options.oxygen_per_energy.usual == pytest.approx(options.bubbles.usual * 3.6e6 / 250)
    # deep wins though it gets less air; fine bubbles dissolve more and lift no less
    assert np.all(deep.flow_free_air < shallow.flow_free_air)
    assert np.all(deep.bubbles.usual > shallow.bubbles.usual) and np.all(deep.lifted.usual > shallow.lifted.usual)
    assert deep.diffuser == ["membrane", "stone", "drilled pipe"]
    assert deep.bubbles.usual[0] > 1.5 * deep.bubbles.usual[2] and deep.flow_free_air[0] < deep.flow_free_air[2]
    assert deep.lifted.usual[0] == pytest.approx(deep.lifted.usual[2], rel=0.05)
    options = same_air(2 * CFM, 5.8, pond(), 2)
    assert options.flow_free_air == pytest.approx([2 * CFM] * 3)
    assert options.bubbles.usual[1] == pytest.approx(oxygen_by_bubbles(2 * CFM, 5.8, pond(), "stone", 2).usual)
    # the power that this air takes brings back this air; at height there is less mass of air for it
    watts = options.bubbles.usual[0] / options.oxygen_per_energy.usual[0] * 3.6e6
    assert comparison.air_for_power.si(watts, 5.8, pond()) == pytest.approx(2 * CFM)
    high = Column(np.array([0.0]), Water(np.array([20.0]), 84000.0), np.array([0.0]))
    assert comparison.air_for_power.si(watts, 5.8, high) < comparison.air_for_power.si(watts, 5.8, uniform_column())


@pytest.mark.parametrize("call, words", [
    (lambda: same_power(0.0, 5.0, pond()), "power or an air flow above zero"),
    (lambda: surface_uptake(0.0, 2.0, 8.0, ACRE), "above zero"),
    (lambda: oxygen_by_bubbles(CFM, 0.0, pond()), "under water")])
def test_refusals_say_what_to_do(call, words):
    with pytest.raises(QuantityError, match=words):
        call()


def numbers(text):
    return [float(n.replace(",", "")) for n in re.findall(r"\d[\d,]*\.?\d*", text)]


def test_rise_time_by_hand():
    # 14 ft at 0.23 m/s (Wuest, Brooks and Imboden 1992) is 18.55 s; with 0.80 ft/s of water 14/(0.7546 + 0.80) = 9.01 s
    assert numbers(comparison.say_bubble("2 mm", "14 ft"))[0] == pytest.approx(14 * 0.3048 / 0.23, abs=0.05)
    moving = comparison.say_bubble("2 mm", "14 ft", "0.8 ft/s")
    assert numbers(moving)[:2] == pytest.approx([0.80, 14 / (0.23 / 0.3048 + 0.80)], abs=0.01)


def test_skin_by_hand():
    # 1 cubic foot as 2 mm balls: 6 V/d = 6 x 1 / (2/304.8) ft2
    assert numbers(comparison.say_skin("1 ft3", ["2 mm"]))[1] == pytest.approx(6 * 304.8 / 2, rel=0.005)


def test_field_rate_by_hand():
    # 28 C: theta^8 = 1.2089; saturation 7.828 mg/L against 9.092 (Benson and Krause 1984), tau 0.861; alpha of pond
    # water 0.66 to 1.07, 0.94 in the middle (Shelton and Boyd 1983, from memory, not verified)
    text = comparison.say_field("0.26 lb/h", "3 mg/L", "0 ft", Water(28.0))
    alpha, warmth, shortage, total, rate, _, *ends = numbers(text)
    assert ends == pytest.approx([0.66, 1.07, 100 * 0.66 * warmth * shortage, 100 * 1.07 * warmth * shortage], abs=0.6)
    assert warmth == pytest.approx(1.2089, abs=0.001)
    assert shortage == pytest.approx((0.861 * 0.98 * 9.092 - 3) / 9.092, abs=0.003)
    assert total == pytest.approx(alpha * warmth * shortage, abs=0.001)
    assert rate == pytest.approx(0.26 * total, abs=0.005)


def test_lift_names_four_reckonings_inside_one_range():
    label, first, second, third = comparison.say_lift("4 cfm", "14 ft").splitlines()
    assert label == "4.0 cfm, 1 diffuser:"
    usual, low, high = numbers(third)
    every = numbers(first) + numbers(second)
    assert len(every) == 4 and all(low <= each <= high for each in every) and low < usual < high


@pytest.mark.parametrize("low, usual, high, words", [
    (0, 0, 0, "a plume of 1.0 cfm comes up"),
    (0, 0, 1.2192, "a plume of 1.0 cfm may stop on its way, at worst 4.0 ft down; then little"),
    (1.8288, 1.8288, 1.8288, "a plume of 1.0 cfm stops 6.0 ft down; little bottom water"),
    (0.6096, 0.9, 1.8288, "a plume of 1.0 cfm stops 2.0 to 6.0 ft down; little")])
def test_words_about_a_plume_that_stops(low, usual, high, words):
    verdict = "yes" if high == 0 else "uncertain" if low == 0 else "no"
    assert comparison.say_stop(CFM, Stop(Range(low, usual, high), verdict)).startswith(words)


def test_tub_words():
    log = buckettest.read_log(datafiles.path("demo-bucket-test.csv"))
    fit = buckettest.fit_bucket(log.time, log.dissolved_oxygen, log.water)
    kla, _, _, low, high = numbers(comparison.say_fit(fit))[:5]
    assert low < 6.0 < high and kla == pytest.approx(6.0, abs=0.1)          # 6 per hour made the log
    said = comparison.say_left_out(log, fit)
    assert "minute 21: a single reading" in said and "minute 0, 1, 2, 3, 4" in said
    rates = comparison.say_rates(fit, "18 gal", "0.14 cfm", "16 in", log.water)
    # oxygen blown in: 0.14 cfm x 0.4734 kg/h a cfm; 6 per hour x 8.6 mg/L x 68.1 L carried to 20 C
    assert numbers(rates)[3] == pytest.approx(0.14 * 473.4, rel=0.005)
    assert numbers(rates)[0] == pytest.approx(6 / 1.024**3 * 8.6 / 0.943 * 0.0681, rel=0.02)
