"""Oxygen made in the light: against calculus done by scipy, printed indices and measured ponds."""

import numpy as np
import pytest
from scipy.integrate import quad

from pondcalc.how_much_oxygen import photosynthesis as plants

HOURS = (np.arange(240) + 0.5) / 10


def day_sum(chlorophyll, depth, assimilation=plants.ASSIMILATION.usual, latitude=39.0, share=1.0):
    """g/m2 in a day of late July."""
    light = plants.light_below_surface.si(latitude, 200, HOURS, share)
    secchi = plants.secchi_from_chlorophyll.si(chlorophyll)
    return float(np.sum(plants.production.si(chlorophyll, 25.0, light, secchi, depth, assimilation)) * 0.1)


def test_secchi_by_trophic_index():
    # Carlson (1977): ln SD = 2.04 - 0.68 ln chl, printed beside the index; the index forms are second-hand
    for chl in (1.0, 10.0, 100.0):
        assert np.log(plants.secchi_from_chlorophyll.si(chl)) == pytest.approx(2.04 - 0.68 * np.log(chl), abs=0.01)
    # a city lake report prints the class limits 2 m and 7.5 ug/L, 0.85 m and 26 ug/L side by side (seen)
    assert plants.secchi_from_chlorophyll.si(7.5) == pytest.approx(2.0, rel=0.05)
    assert plants.secchi_from_chlorophyll.si(26.0) == pytest.approx(0.85, rel=0.05)
    assert plants.chlorophyll_from_secchi.si(plants.secchi_from_chlorophyll.si(37.0)) == pytest.approx(37.0)


@pytest.mark.parametrize("light, secchi, top, "
                         "bottom", [(800.0, 0.5, 0.0, 2.0), (50.0, 1.0, 0.5, 3.0), (900.0, 2.0, 0, 6)])
def test_depth_mean_is_the_integral(light, secchi, top, bottom):
    def speed(z):
        x = light * np.exp(-1.7 * z / secchi) / 100.0       # light fades by 1.7/Secchi (Poole and Atkins 1929)
        return x / np.sqrt(1 + x * x)                       # Smith (1936)
    expected = quad(speed, top, bottom, epsabs=1e-12)[0] / (bottom - top)
    assert plants.light_use.si(light, 100.0, secchi, top, bottom) == pytest.approx(expected, rel=1e-9)


def test_light_fades_as_printed():
    # Poole and Atkins (1929): Secchi 0.5, 1 and 2 m leave 0.0334, 0.1827, 0.4274 of the light at 1 m
    # (arithmetic); in dim light speed goes as light, so thin layers compare as the light does
    for secchi, left in {0.5: 0.0334, 1.0: 0.1827, 2.0: 0.4274}.items():
        top = plants.light_use.si(0.01, 100.0, secchi, 0.0, 1e-4)
        deep = plants.light_use.si(0.01, 100.0, secchi, 1.0, 1.0001)
        assert deep / top == pytest.approx(left, abs=1e-4)


def test_limits():
    assert plants.light_use.si(0.0, 100.0, 1.0, 0.0, 2.0) == 0
    assert plants.light_use.si(1e9, 100.0, 50.0, 0.0, 0.01) == pytest.approx(1.0)
    assert np.all(plants.light_below_surface.si(39.0, 200, np.array([0.0, 2.0, 23.0])) == 0)
    assert plants.production.si(0.0, 25.0, 500.0, 1.0, 2.0) == 0


def test_sunlight_against_pvlib():
    # pvlib 0.16.1, run beforehand: true sun at 40 N, 90 W in 2023, Haurwitz clear sky, W/m2 at whole solar hours;
    # 6 % is reflected (from memory)
    june = [37, 224, 421, 605, 765, 887, 964, 990, 963, 886, 764, 604, 419, 222, 36]        # 21 June, 5 to 19 h
    december = [57, 207, 328, 404, 430, 404, 328, 208, 57]                                  # 21 December, 8 to 16 h
    for day, first, clear in ((172, 5.0, june), (355, 8.0, december)):
        ours = plants.light_below_surface.si(40.0, day, first + np.arange(len(clear))) / 0.94
        assert ours == pytest.approx(np.array(clear, float), abs=4)


def test_more_green_stops_paying():
    # twice the chlorophyll makes less than twice the oxygen: light ends nearer the surface
    shallow = [day_sum(chl, 2.0) for chl in (13.0, 26.0, 52.0, 104.0, 208.0)]
    ratio = np.divide(shallow[1:], shallow[:-1])
    assert np.all(np.diff(ratio) < 0) and 1.0 < ratio[-1] < 1.4


def test_of_the_size_of_measured_ponds():
    # Rabaey and others (2024), Geophys. Res. Lett., 26 shallow waters: mean gross production 8.4 g O2/m3 a
    # day (abstract seen; depths of order 1 m). A meter of green to pea-green water must span that
    low = day_sum(13.0, 1.0, plants.ASSIMILATION.low)
    high = day_sum(150.0, 1.0, plants.ASSIMILATION.high)
    assert low < 8.4 < high
    assert 8.4 / 3 < day_sum(55.0, 1.0) < 8.4 * 3


def test_compensation_depth_is_about_twice_secchi():
    # Chang and Ouyang (1988), fish ponds, Secchi 0.25 to 0.4 m: a day's making and using balance at about
    # twice the Secchi depth (abstract seen); ponds of 1 to 2 m, and a sky of 70 %
    from pondcalc.how_much_oxygen import respiration
    chl = 100.0
    secchi = float(plants.secchi_from_chlorophyll.si(chl))
    light = plants.light_below_surface.si(23.0, 200, HOURS, 0.7)
    z = np.linspace(0.02, 3, 300)
    use = plants.light_use.si(light[:, None], 100.0, secchi, z, z + 1e-3)
    made = plants.full_speed(chl, 27.0) * use.sum(0) * 0.1 * (1 - plants.PROMPT_USE.usual)
    for deep in (1.0, 1.5, 2.0):
        used = float(respiration.plankton_respiration.si(chl, 27.0, secchi, deep, latitude=23.0).usual)
        depth = z[np.argmax(made < used)]
        assert 1.2 < depth / secchi < 2.8, f"balance at {depth / secchi:.2f} Secchi depths"


def test_hours_of_a_clear_day_are_the_integral():
    for secchi, deep in ((0.5, 2.4), (4.8, 1.0), (0.25, 4.0)):
        slab = (np.array([0.0]), np.array([deep]), np.array([1.0]))
        exact = quad(lambda hour, s=secchi, d=deep: plants.light_use.si(
            plants.light_below_surface.si(39.0, 200, hour, 1.0, 300.0), 100.0, s, 0.0, d), 4, 20, limit=400)[0]
        ours = plants.clear_day_hours(plants.clear_day(39.0, 200, 300.0), 100.0, secchi, slab)
        assert ours == pytest.approx(exact, rel=2e-3)
    assert plants.clear_day_hours(plants.clear_day(80.0, 355), 100.0, 0.5, slab) == 0


def test_weed_bed_makes_what_was_measured():
    # Potamogeton pectinatus, Danish lowland stream: gross production at most 7.5 g O2/m2 a day, mid August,
    # and not saturated by full sun (abstract seen); 55.6 N
    light = plants.light_below_surface.si(55.6, 227, HOURS)
    made = plants.WEED_PRODUCTION.usual * plants.weed_light_use(light).sum() * 0.1
    assert made == pytest.approx(7.5, rel=0.2)
    assert plants.weed_light_use(1000.0) < 1


def test_light_at_which_weeds_come_near_full_speed():
    # by its definition (E. L. Smith 1936) 1/sqrt(2) of full speed at the light of saturation, here 309 umol/m2/s of
    # visible light; 2.06 umol for each J of sunlight (both from memory, not verified): 150 W/m2
    assert plants.weed_light_use(309 / 2.06) == pytest.approx(2 ** -0.5, rel=1e-3)


def test_a_lit_bed_makes_what_was_measured():
    # Liboriussen and Jeppesen (2003), Freshwater Biol. 48:418-431, a clear shallow lake at 0.5 m: water and bed made
    # 141 g of carbon a year, 77 % of it on the bed; in a turbid one 0.7 to 1.7 % in summer (abstract seen). Denmark,
    # 56 N; warm months of 210 days at 15 C, a sky of 60 %, Secchi depths of 2 and 0.3 m (all judgment)
    def season(secchi):
        days = np.linspace(100, 300, 9)
        light = np.array([plants.light_below_surface.si(56.0, day, HOURS, 0.6) for day in days])
        speed = plants.bed_light_use(light, plants.LIGHT_SATURATION.usual, secchi, 0.5).sum(1).mean() * 0.1
        return 210 * plants.BED_PRODUCTION * plants.GROWTH ** -5 * speed / plants.OXYGEN_PER_CARBON
    assert season(2.0) == pytest.approx(0.77 * 141, rel=0.6)
    # light at 0.5 m of turbid water: exp(-1.7 x 0.5/0.3) = 0.059 of it, by hand
    assert plants.bed_light_use(0.01, 100.0, 0.3, 0.5) == pytest.approx(1e-4 * np.exp(-1.7 / 0.6), rel=1e-3)


def test_assimilation_brackets_the_nutrient_classes():
    # Curl and Small (1965): below 3 short of nutrients, 5 to 10 rich, mg C per mg chl an hour (abstract
    # seen); 32/12.011 g oxygen per g carbon, 1.2 molecules for one (from memory)
    per_carbon = 32 / 12.011 * 1.2
    assert plants.ASSIMILATION.low / per_carbon < 3 <= plants.ASSIMILATION.usual / per_carbon + 1e-9
    assert 5 <= plants.ASSIMILATION.high / per_carbon <= 10


def test_cloud_scales_dim_light():
    assert day_sum(55.0, 2.0, share=0.2) < 0.65 * day_sum(55.0, 2.0)
    assert day_sum(55.0, 2.0, share=0.2) > 0.2 * day_sum(55.0, 2.0), "light past saturation is spare"


@pytest.mark.parametrize("call, says", [
    (lambda: plants.chlorophyll_by_color("purple"), "Choose one of"),
    (lambda: plants.secchi_from_chlorophyll.si(0.0), "more than 0"),
    (lambda: plants.light_below_surface.si(39.0, 200, 12.0, 1.5), "0 to 1"),
    (lambda: plants.light_use.si(1.0, 100.0, 1.0, 2.0, 1.0), "deeper")])
def test_impossible_input_is_refused(call, says):
    with pytest.raises(ValueError, match=says):
        call()


def test_cold_water_warns():
    with pytest.warns(UserWarning, match="6.6 %"):
        plants.production.si(10.0, 2.0, 100.0, 1.0, 2.0)
