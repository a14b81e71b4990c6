"""Stability and mixing: worked numbers, an open lake profile, exact shapes."""

import warnings

import gsw
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from iapws import IAPWS95
from layeredponds import A0, BOWL, CONE, FT, HUMMINGBIRD, WALLS, D, Z, bowl, two_layers

from pondcalc.door import layers
from pondcalc.units import Q, Quantity
from pondcalc.warm_over_cold.profile import Profile


# 24 C over 12 C in a 1 acre x 20 ft pond: integrals by scipy quad with the Tanaka density, and the closed
# two-layer form S = g drho V1 V2 (z2 - z1)/(A0 V); both agree to all digits
@pytest.mark.parametrize("area, boundary, stability, kilojoule, kwh", [
    (WALLS, 10, 100.295, 405.9, 0.1127), (BOWL, 10, 33.432, 135.3, 0.0376), (BOWL, 6, 39.316, 159.1, 0.0442),
    (CONE, 10, 12.537, 50.7, 0.0141)])
def test_worked_stability(area, boundary, stability, kilojoule, kwh):
    p = two_layers(boundary * FT)
    assert layers.stability.si(Z, area, p) == pytest.approx(stability, abs=6e-4)
    energy = layers.mixing_energy(Q(Z, "m"), Q(area, "m2"), p)
    assert energy.m_as("kJ") == pytest.approx(kilojoule, abs=0.06)
    assert energy.m_as("kWh") == pytest.approx(kwh, abs=6e-5)


@pytest.mark.parametrize("area, upper, lower, whole", [(BOWL, 1.3547, 4.0640, D / 3), (CONE, 1.1974, 3.8100, D / 4)])
def test_volume_centers_of_the_worked_shapes(area, upper, lower, whole):
    # layers parted at 10 ft; exact integrals (calculus)
    s = layers.slices(Z, area, two_layers(10 * FT))
    top = s.centre < 10 * FT
    mean = [np.average(s.centre[part], weights=s.volume[part]) for part in (top, ~top, top | ~top)]
    assert mean == pytest.approx([upper, lower, whole], abs=1e-4)


@settings(max_examples=25, deadline=None)
@given(st.floats(0.3, 3.0), st.floats(0.5, 5.5), st.floats(14, 30), st.floats(4.5, 13))
def test_two_layer_identity_in_any_bowl(power, boundary, warm, cold):
    area = A0 * (1 - Z / D) ** power
    p = two_layers(boundary, warm, cold)
    s = layers.slices(Z, area, p)
    top = s.centre < boundary
    v1, v2 = s.volume[top].sum(), s.volume[~top].sum()
    z1, z2 = (np.average(s.centre[k], weights=s.volume[k]) for k in (top, ~top))
    drho = layers.density_profile.si(p)[-1] - layers.density_profile.si(p)[0]
    exact = 9.80665 * drho * v1 * v2 * (z2 - z1) / (A0 * (v1 + v2))
    assert layers.stability.si(Z, area, p) == pytest.approx(exact, rel=1e-7, abs=1e-9)


def test_linear_density_and_walls():
    # S = g drho D^2/12 for density linear in depth: 66.864 J/m2 for the spread of 24 over 12 C
    warm_to_cold = np.linspace(24, 12, 2001)
    rho = layers.water.density(warm_to_cold)
    p = Profile((rho - rho[0]) / (rho[-1] - rho[0]) * D, warm_to_cold)
    assert layers.stability.si(Z, WALLS, p) == pytest.approx(66.864, abs=2e-3)
    assert layers.stability.si(Z, BOWL, Profile([0, 6], [18, 18])) == pytest.approx(0, abs=1e-9)


def test_density_against_two_libraries():
    t = np.array([0.5, 4, 10, 15, 20, 25, 30.0])
    p = Profile(np.arange(7.0), t)
    ours = layers.density_profile.si(p)
    assert ours == pytest.approx(gsw.rho_t_exact(0, t, 0), abs=2e-3)
    assert ours == pytest.approx([IAPWS95(T=x + 273.15, P=0.101325).rho for x in t], abs=2e-3)


@pytest.mark.parametrize("thick, squared", [(1, 0.02163), (D, 0.003548)])
def test_buoyancy_frequency_numbers(thick, squared):
    # 2.2017 kg/m3 over 1 m and over 20 ft by hand; drho by gsw instead: 2.2010
    found = layers.buoyancy_frequency.si(Profile([0, thick], [24, 12]))[0]
    assert found == pytest.approx(squared, rel=3e-4)
    drho = float(gsw.rho_t_exact(0, 12, 0) - gsw.rho_t_exact(0, 24, 0))
    assert found == pytest.approx(9.80665 * drho / 998.4 / thick, rel=1e-3)


def test_open_profile_of_a_dark_sheltered_lake():
    layer = layers.steepest_layer.si(HUMMINGBIRD)
    assert (layer.top, layer.bottom) == (1.0, 1.5)
    assert layer.temperature_gradient == pytest.approx(-10.4)               # 5.2 C in half a metre
    assert layer.buoyancy_frequency_squared == pytest.approx(0.0196, abs=5e-5)
    assert layers.warm_layer(HUMMINGBIRD).m_as("m") == 0.5                  # first 1 C/m starts there
    assert layers.kind_of_layers(HUMMINGBIRD) == "warm over cold"


def test_winter_layering_is_found_by_density():
    under_ice = Profile([0, 3.048, 3.0480001, D], [0, 0, 4, 4])
    assert layers.kind_of_layers(under_ice) == "cold over warm"
    # 0 over 4 C, walls, 10 + 10 ft: drho 0.1321, 6.02 J/m2, about a seventeenth of 24 over 12 C
    assert layers.stability.si(Z, WALLS, under_ice) == pytest.approx(6.02, abs=5e-3)
    ratio = layers.stability.si(Z, WALLS, two_layers(3.048)) / layers.stability.si(Z, WALLS, under_ice)
    assert ratio == pytest.approx(17, abs=0.5)
    assert layers.warm_layer.si(under_ice) == D                             # no fall of 1 C/m anywhere
    # a fall of temperature below 4 C makes water lighter and ends no warm layer
    assert layers.warm_layer.si(Profile([0, 1, 2], [4.0, 2.0, 2.0])) == 2
    # near 4 C the steepest fall of temperature (6 to 4.5 at the top) is not the steepest rise of density
    odd = Profile([0, 1, 2, 3], [2.0, 3.9, 4.1, 3.9])
    assert layers.steepest_layer.si(odd).top == 0


@pytest.mark.parametrize("depth, temperature, kind", [
    # Lamar City Lake, Missouri, 2020 (University of Missouri, CC BY 4.0): top and bottom on three days
    ([0.25, 6], [28.5, 20.1], "warm over cold"), ([0.25, 6], [18.2, 18.3], "mixed"), ([0.25, 6], [11.3, 11.3], "mixed"),
    ([0, 3, 6], [20, 20.3, 20], "mixed"), ([0, 3, 6], [20, 18, 20], "upside down"),
    ([0, 6], [4.6, 4.0], "mixed"), ([0, 6], [25.0, 24.0], "warm over cold")])     # 0.6 C weigh nothing near 4 C
def test_kind_allows_for_the_thermometer(depth, temperature, kind, monkeypatch):
    assert layers.kind_of_layers(Profile(depth, temperature)) == kind
    if temperature == [25.0, 24.0]:
        monkeypatch.setattr("pondcalc.warm_over_cold.layers.READING_ERROR", 0.6)
        assert layers.kind_of_layers(Profile(depth, temperature)) == "mixed"


def test_bowls_hold_their_mean_depth():
    # exact shapes: cone D/3, 0.4 rule, paraboloid D/2; the demonstration pond 15.467 acre-ft
    for mean, total in ((D / 3, 6.6667), (0.4 * D, 8.0), (D / 2, 10.0)):
        z, a = bowl(A0, D, mean, 801)
        s = layers.slices(z, a, Profile([0, 6], [20, 10]))
        assert s.volume.sum() / 1233.48183755 == pytest.approx(total, rel=1e-4)
    z, a = bowl(2.4 * 4046.8564224, 14.5 * 0.3048, 14.5 * 0.3048 / 2.25, 801)
    assert np.trapezoid(a, z) / 1233.48183755 == pytest.approx(15.467, rel=1e-3)


@pytest.mark.parametrize("depth, area", [([0, 1], [10, 11]), ([1, 2], [10, 5]), ([0, 2, 1], [10, 5, 4]),
                                         ([0, 1], [-1, -2]), ([0, 1, 2], [10, 5])])
def test_shapes_that_cannot_be_are_refused(depth, area):
    with pytest.raises(ValueError):
        layers.slices(depth, area, Profile([0, 6], [20, 10]))


def test_readings_past_the_bottom_or_short_of_it_are_held_level():
    short = Profile([1, 3], [24, 12])
    s = layers.slices(Z, BOWL, short)
    assert s.temperature[0] == 24 and s.temperature[-1] == 12
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert layers.slices(Z, BOWL, Profile([0, 20], [24, 12])).volume.sum() == pytest.approx(A0 * D / 2)


def test_two_layers_by_hand():
    # 9.81 x 2.0 x 3 x 3/2 = 88.29 J/m2
    found = layers.two_layer_stability("2.0 kg/m3", "3 m", "3 m", gravity=Quantity(9.81, "m/s^2"))
    assert found.m_as("J/m^2") == pytest.approx(88.29, abs=1e-9)
    # and it is what the whole integral gives between straight walls: 24 over 12 C, 10 + 10 ft
    assert layers.two_layer_stability.si(2.201713, 3.048, 3.048) == pytest.approx(100.295, abs=6e-4)


def test_resistance_to_mixing_grows_with_warmth():
    # [rho(t) - rho(t + 1)]/[rho(4) - rho(5)] from the Tanaka formula by hand: 5, 10, 15, 20, 25, 30 C
    t = np.array([5.0, 10, 15, 20, 25, 30])
    assert layers.resistance_to_mixing.si(t + 1, t) == pytest.approx([2.89, 11.6, 19.2, 25.9, 32.0, 37.5], rel=5e-3)
    rho = gsw.rho_t_exact(0, np.array([26.667, 23.889, 7.2222, 4.4444]), 0)          # 80, 75, 45, 40 F
    assert layers.resistance_to_mixing("80 F", "75 F", ("45 F", "40 F")) == \
        pytest.approx((rho[1] - rho[0]) / (rho[3] - rho[2]), rel=0.01)
    assert layers.resistance_to_mixing("61 F", "62 F") < 0                            # the upper water sinks


def test_plain_shapes_hold_a_third_a_half_and_all():
    for share, (depth, area) in zip((1 / 3, 1 / 2, 1), layers.plain_shapes("1 acre", "20 ft").values(), strict=True):
        assert np.trapezoid(area, depth) == pytest.approx(A0 * D * share, rel=1e-5)
    with pytest.raises(ValueError, match="above zero"):
        layers.plain_shapes.si(0.0, 3.0)
