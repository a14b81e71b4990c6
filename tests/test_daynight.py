"""The day-night curve: balance, limits, an independent integrator, and what ponds were seen to do."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

from pondcalc import air, water
from pondcalc.door import daynight, sources
from pondcalc.how_much_oxygen import oxygen
from pondcalc.units import Q

ACRE = 4046.8564224
BOX = daynight.PondShape("8 acre-ft", "1 acre", elevation="1000 ft")
BOWL = daynight.PondShape.si(9868.0, ACRE, np.linspace(0, 6.1, 9), ACRE * (1 - np.linspace(0, 1, 9)) ** 1.5)
GREEN = daynight.Conditions("25 °C", chlorophyll="0.055 mg/L", fish_mass_per_area="300 lb/acre", wind_speed="2 m/s")
DEAD = dict(chlorophyll=0.0, mud_20c=0.0, fish_mass_per_area=0.0)


def morning(run, night):
    """Lowest oxygen of each run from midnight to noon; night 0 is the first after a start at 18 h."""
    return run.dissolved_oxygen[(run.hours >= 6 + 24 * night) & (run.hours <= 18 + 24 * night)].min(axis=0)


def gap(run):
    """What the balance leaves over, mg/L, for each run."""
    t = run.totals
    inward = t["made"] + t["exchanged"] + t["delivered"]
    return inward - sum(t[part] for part in daynight.PARTS) - (run.dissolved_oxygen[-1] - run.dissolved_oxygen[0])


@pytest.mark.parametrize("more", [
    {}, dict(delivery="0.5 kg/h"), dict(crash=daynight.BloomCrash(20.0)),
    dict(dissolved_oxygen="2 mg/L", hours=72.0), dict(crash=daynight.BloomCrash(12.0, 0.5, 1.0))])
def test_balance_closes_to_rounding(more):
    rich = GREEN.with_values(weed_cover=0.3, load=3.0, load_per_day=1.0, clear_share=[1.0, 0.2, 0.6],
                             chlorophyll=np.array([20.0, 90.0, 250.0]), night_wind_speed=0.5)
    for shape in (BOX, BOWL):
        assert np.abs(gap(daynight.simulate(shape, rich, **more))).max() < 1e-11


def test_fish_breathe_twice_as_much_for_ten_degrees():
    # C. E. Boyd, Dissolved oxygen requirements in aquatic animal respiration: use roughly doubles with 10 C. So it is
    # past the ends of the catfish regression (from memory; log r as written out in ``oxygen.fish_respiration``)
    at_15, at_30 = (1000 * 10 ** (-0.999 - 0.000957 * 200 + 6e-7 * 200**2 + 0.0327 * t - 8.7e-6 * t**2
                                  + 3e-7 * 200 * t) for t in (15.0, 30.0))
    used = daynight._fish_use(np.array([5.0, 15.0, 30.0, 35.0]), daynight.Conditions.si(25.0, fish_mass=0.2))
    assert used == pytest.approx([at_15 / 2, at_15, at_30, at_30 * 2**0.5], rel=1e-3)


def test_against_scipy():
    # the same equation written out here and solved by scipy solve_ivp
    c = GREEN.with_values(night_wind_speed=1.0, load=4.0, load_per_day=0.8, weed_cover=0.2, temperature_swing=3.0)
    depth, pressure = BOX.volume / BOX.area, air.pressure_by_elevation(BOX.elevation)
    secchi = sources.secchi_from_chlorophyll.si(55.0)

    def light_at(clock):
        return sources.light_below_surface.si(39.0, 200, clock % 24, 1.0, BOX.elevation)
    kept = (1 - sources.PROMPT_USE.usual) * quad(
        lambda clock: sources.production.si(55.0, 25.0, light_at(clock), secchi, depth), 4.5, 19.5)[0]
    kept += 0.2 * (c.weed_production * 1.066**5 * quad(lambda clock: light_at(clock) / np.hypot(150.0, light_at(clock)),
                                                       4.5, 19.5)[0] - c.weed_use_20c * 1.047**5)
    # 1.05 of what is left over in a clear day, less what the mud asks for, up to a fifth (both our choice)
    plankton = 1.05 * kept - min(c.mud_20c * 1.065**5, 0.2 * 1.05 * kept)

    def slope(hour, state):
        o, load = state
        clock = 18 + hour
        t = 25 + 1.5 * np.cos(2 * np.pi * (clock - 16) / 24)
        light = light_at(clock)
        grow, warm = 1.066 ** (t - 20), 1.047 ** (t - 20)
        made = sources.production.si(55.0, t, light, secchi, depth) * (1 - sources.PROMPT_USE.usual)
        made += 0.2 * c.weed_production * light / np.hypot(150.0, light) * grow
        k = sources.exchange_band.si(2.0 if light > 0 else 1.0, 25.0, BOX.area).usual * 3600
        fish = c.fish_mass_per_area * oxygen.fish_respiration(t, c.fish_mass) * 1e-3
        use = (plankton * 1.066 ** (t - 25) + c.mud_20c * 1.065 ** (t - 20) + 0.2 * c.weed_use_20c * warm) / 24 + fish
        limit = o / (o + daynight.HALF_USE)
        soft = c.load_rate_20c * warm / 24 * load * limit
        shortfall = water.oxygen_saturation(t, pressure) - o
        return [(made + k * shortfall - use * limit) / depth - soft, c.load_per_day / 24 - soft]

    run = daynight.simulate.si(BOX, c, 54.0, 18.0, 7.0)
    check = solve_ivp(slope, (0, 54), [7.0, 4.0], t_eval=run.hours, rtol=1e-8, atol=1e-9, max_step=0.1)
    assert np.abs(run.dissolved_oxygen[:, 0] - check.y[0]).max() < 5e-3     # light and wind turn on within a step


def test_order_of_the_stepping():
    # Runge-Kutta of fourth order: half the step, a sixteenth of the error, on a smooth problem (no light)
    c = GREEN.with_values(clear_share=0.0, load=5.0)
    ends = [daynight.simulate.si(BOX, c, 10.0, 18.0, 8.0, step=s).dissolved_oxygen[-1, 0]
            for s in (3600.0, 1800.0, 900.0, 60.0)]
    errors = np.abs(np.array(ends[:3]) - ends[3])
    assert 10 < errors[0] / errors[1] < 24 and 10 < errors[1] / errors[2] < 24


def test_no_life_no_wind_no_change():
    c = GREEN.with_values(**DEAD, wind_speed=0.0, exchange_rank=0.0)
    run = daynight.simulate(BOX, c, dissolved_oxygen="6 mg/L")
    assert np.abs(run.dissolved_oxygen - 6).max() < 1e-12


def test_no_life_with_wind_goes_to_saturation():
    c = GREEN.with_values(**DEAD, wind_speed=4.0, temperature_swing=0.0)
    run = daynight.simulate(BOX, c, hours=700.0, dissolved_oxygen="2 mg/L")
    # 7.960 mg/L at 25 C and 1000 ft (Benson and Krause 1984, second-hand)
    assert run.dissolved_oxygen[-1, 0] == pytest.approx(7.960, abs=0.002)
    k = float(sources.exchange_band.si(4.0, 25.0, BOX.area).usual) * BOX.area / BOX.volume
    one_day = 7.960 - 5.960 * np.exp(-k * 86400)             # C = Cs - (Cs - C0) exp(-k t)
    assert np.interp(24.0, run.hours, run.dissolved_oxygen[:, 0]) == pytest.approx(one_day, abs=0.003)


def test_no_light_only_falls():
    run = daynight.simulate(BOX, GREEN.with_values(clear_share=0.0, wind_speed=0.0, exchange_rank=0.0), hours=96.0,
                            dissolved_oxygen="8 mg/L")
    assert np.all(np.diff(run.dissolved_oxygen[:, 0]) < 0) and run.totals["made"][0] == 0
    assert run.dissolved_oxygen.min() >= 0


def test_night_use_is_the_sum_of_its_parts():
    # one dark calm night uses what the parts add up to, before it slows
    c = GREEN.with_values(chlorophyll=150.0, wind_speed=0.0, exchange_rank=0.0, temperature_swing=0.0, clear_share=0.0)
    run = daynight.simulate.si(BOX, c, 10.0, 19.0, 10.0)
    used = sum(run.totals[part][0] for part in daynight.PARTS) * BOX.volume / BOX.area
    afloat = float(sources.plankton_respiration.si(150.0, 25.0, None, BOX.volume / BOX.area).usual)
    fish = GREEN.fish_mass_per_area * oxygen.fish_respiration(25.0, c.fish_mass) * 24e-3
    demand = afloat * BOX.volume / BOX.area + 0.83 * 1.065**5 + fish
    assert used == pytest.approx(demand * 10 / 24, rel=0.04)    # the half-use level takes 2 to 3 % off


def box(deep):
    """An acre with upright sides."""
    return daynight.PondShape.si(ACRE * deep, ACRE)


@pytest.mark.parametrize("deep", [0.5, 0.7, 1.0, 1.5, 2.0, 3.0, 4.0])
def test_dawn_on_clear_days_stands_below_saturation(deep):
    """A night only uses, so a pond that balances over like days has its low below rest with the air.

    Every color, every mud, cool to hot water, south to north, all seasons, with and without fish and weeds.
    """
    greens = [color.usual for color in sources.WATER_COLORS.values()] + [300.0]
    muds = [mud.usual for mud in sources.MUD_KINDS.values()]
    green, mud, life = (each.ravel() for each in np.meshgrid(greens, muds, [0, 1, 2]))
    for warm, latitude, day in ((8.0, 39.0, 60), (15.0, 45.0, 110), (22.0, 33.0, 120), (28.0, 39.0, 200),
                                (31.0, 28.0, 172), (34.0, 49.0, 172), (20.0, 49.0, 172), (12.0, 25.0, 355)):
        c = daynight.Conditions.si(warm, chlorophyll=green, mud_20c=mud, fish_mass_per_area=0.03 * (life == 1),
                                   weed_cover=0.5 * (life == 2), night_wind_speed=0.5, latitude=latitude, day=day)
        run = daynight.simulate.si(box(deep), c, 240.0, step=1800.0)
        share = (run.dissolved_oxygen / run.saturation)[run.hours >= 216].min(axis=0)
        assert np.all(share < 1), (warm, latitude, day, share.max())


@pytest.mark.parametrize("latitude, day", [(27.0, 172), (33.0, 200), (39.0, 200), (47.0, 190), (39.0, 110)])
def test_like_days_nearly_balance(latitude, day):
    """Over ten like clear days green water makes nearly what the pond uses, and a little less."""
    for green in (55.0, 100.0, 150.0):
        for deep in (1.0, 2.0, 4.0):
            c = daynight.Conditions.si(27.0, chlorophyll=green, fish_mass_per_area=0.02, latitude=latitude, day=day,
                                       night_wind_speed=0.5)
            t = daynight.simulate.si(box(deep), c, 240.0, step=1800.0).totals
            used = sum(t[part][0] for part in daynight.PARTS)
            assert 0.85 < t["made"][0] / used < 1.03, (green, deep)
    # by day the surface of green water may pass saturation
    run = daynight.simulate.si(box(1.0), c, 240.0, step=1800.0)
    assert run.dissolved_oxygen[run.hours >= 216].max() > 1.02 * run.saturation[-1, 0]


def test_clear_water_over_a_lit_bed_balances_too():
    """Where light reaches the mud, algae on it make what it lacks; below two meters of green water they do not."""
    for warm, deep, mud in ((28.0, 0.5, 0.83), (28.0, 2.0, 0.83), (20.0, 3.0, 0.83), (28.0, 1.0, 0.3)):
        c = daynight.Conditions.si(warm, chlorophyll=np.array([2.0, 55.0]), mud_20c=mud, night_wind_speed=0.5)
        t = daynight.simulate.si(box(deep), c, 240.0, step=1800.0).totals
        used = sum(t[part] for part in daynight.PARTS)
        assert np.all((t["made"] / used > 0.8) & (t["made"] / used < 1.03)), (warm, deep, mud)
    bare = daynight.simulate.si(box(1.0), c.with_values(mud_20c=0.0), 24.0).totals["made"]
    with_mud = daynight.simulate.si(box(1.0), c, 24.0).totals["made"]
    assert with_mud[0] > 1.3 * bare[0] and with_mud[1] == pytest.approx(bare[1], rel=1e-9)


def test_beds_hold_the_mud():
    for shape in (BOX, BOWL, BOWL.top(2), box(2.0)):
        depths, areas = shape.beds()
        assert areas.sum() == pytest.approx(shape.area if shape.bed_area is None else shape.bed_area, rel=1e-6)
        assert np.all(areas >= 0) and np.all(np.diff(depths) >= 0)


def test_totals_of_shallow_waters():
    """Rabaey and others (2024), Geophys. Res. Lett. 51, 2023GL106689, abstract seen.

    26 small shallow waters, weeds and mud included: mean use 9.1, production 8.4 g/m3 a day. Depths and warmth are not
    in the abstract; taken as 0.5 to 1.5 m and 20 to 25 C, under an average sky of 75 % (from memory, not verified).
    """
    made, used = [], []
    for deep in (0.5, 1.0, 1.5):
        for warm in (20.0, 25.0):
            for green, cover in ((13.0, 0.0), (55.0, 0.0), (55.0, 0.3), (100.0, 0.0), (13.0, 0.6), (2.0, 0.9)):
                c = daynight.Conditions.si(warm, chlorophyll=green, weed_cover=cover, latitude=45.0, clear_share=0.75)
                t = daynight.simulate.si(box(deep), c, 240.0, step=1800.0).totals
                used.append(sum(t[part][0] for part in daynight.PARTS) / 10)
                made.append(t["made"][0] / 10)
    assert min(used) < 9.1 / 2 and 9.1 < max(used) < 9.1 * 3, "the mean of many lies well inside"
    assert np.mean(used) == pytest.approx(9.1, rel=0.4) and np.mean(made) == pytest.approx(8.4, rel=0.4)
    assert 0.75 < np.sum(made) / np.sum(used) < 1.0, "as there, somewhat more is used than made"


def test_low_comes_at_dawn_and_high_in_the_afternoon():
    run = daynight.simulate(BOX, GREEN, hours=72.0)
    clock = (run.start + run.hours) % 24
    day = run.hours >= 24
    low = clock[day][np.argmin(run.dissolved_oxygen[day, 0])]
    high = clock[day][np.argmax(run.dissolved_oxygen[day, 0])]
    # Madenjian, Rogers and Fast (1987): oxygen is typically lowest at dawn (seen)
    assert 4.5 < low < 8.0, f"low at {low:.1f} h"
    assert 14.0 < high < 20.0, f"high at {high:.1f} h"
    assert morning(run, 1) == pytest.approx(run.dissolved_oxygen[day, 0].min(), rel=0.2)


def test_light_makes_more_oxygen_than_the_wind_in_green_water():
    # Chang and Ouyang (1988): photosynthesis is the main source, gain or loss through the surface by day
    # small beside it (abstract seen)
    run = daynight.simulate(BOX, GREEN, hours=96.0)
    assert abs(run.totals["exchanged"][0]) < 0.5 * run.totals["made"][0]


def test_plankton_and_mud_share_the_night():
    # Madenjian, Rogers and Fast (1987): plankton 42 %, sediment 50.2 % of the use of shallow prawn ponds
    # (seen); a meter of slightly green water over rich mud parts in the same way, fish being few
    c = GREEN.with_values(fish_mass_per_area=0.02, chlorophyll=13.0, mud_20c=1.3, temperature=27.0)
    run = daynight.simulate(box(1.0), c, hours=48.0)
    total = sum(run.totals[part][0] for part in daynight.PARTS)
    assert run.totals["plankton"][0] / total == pytest.approx(0.42, abs=0.10)
    assert run.totals["mud"][0] / total == pytest.approx(0.502, abs=0.10)


def test_night_use_of_a_culture_pond():
    # Szyper and Ebeling (1993): nights in a 0.7 m culture pond with dense algae used up to 0.26 mol/m2, 8.3
    # g, about what the day left over; all made was at least 2.5 times that (abstract seen). Hawaii, 21 N
    nights = []
    for hard in sources.ASSIMILATION:
        c = GREEN.with_values(chlorophyll=np.array([100.0, 200.0]), mud_20c=1.3, temperature=27.0, assimilation=hard,
                              latitude=21.0)
        run = daynight.simulate.si(box(0.7), c, 13.0, 18.0, 14.0)
        nights.append(sum(run.totals[part] for part in daynight.PARTS) * 0.7)
    assert np.max(nights[0]) < 8.3 / 2 and np.min(nights[1]) > 8.3 / 2, "usual algae: more than half of the most seen"
    assert 8.3 < np.max(nights[2]) < 8.3 * 1.4, "hard-working ones reach the most"


def test_cloudy_spell_lowers_each_dawn():
    sunny = daynight.simulate(BOX, GREEN, hours=110.0)
    dark = daynight.simulate(BOX, GREEN.with_values(clear_share=[1.0, 0.15, 0.15, 0.15, 0.15]), hours=110.0)
    dawns = [float(morning(dark, n)[0]) for n in (0, 1, 2, 3)]
    assert np.all(np.diff(dawns) < 0), "each dark day leaves the next dawn lower"
    assert dawns[3] < morning(sunny, 3)[0] - 1


def test_bloom_crash_takes_oxygen_within_days():
    # Boyd, Prather and Parks (1975): the dead bloom "quickly" used up the oxygen and 7 days passed until
    # algae were back (abstract seen)
    c = GREEN.with_values(chlorophyll=120.0)
    well = daynight.simulate(BOX, c, hours=120.0)
    crashed = daynight.simulate(BOX, c, hours=480.0, crash=daynight.BloomCrash(18.0))
    assert daynight.dawn_low(well)[0] > 3
    first_days = crashed.dissolved_oxygen[crashed.hours < 96]
    assert first_days.min() < 2
    assert crashed.dissolved_oxygen[-1, 0] > 3, "it must mend once algae are back"
    # at most what Boyd's 1.29 mg per mg of algae allows: 0.9 x 120 mg/m3 x 100 x 1.29 = 13.9 mg/L
    assert 0.5 * 13.9 < crashed.totals["load"][0] < 13.9 + 1e-9


def test_a_load_is_used_up_and_no_more():
    # nothing alive, no wind: all of the 2 mg/L is used in the end, 2.6 - 2.0 = 0.6 mg/L stays
    still = GREEN.with_values(**DEAD, wind_speed=0.0, exchange_rank=0.0, temperature=20.0, temperature_swing=0.0,
                              load=2.0, load_rate_20c=2.8)
    assert daynight.simulate.si(BOX, still, 200.0, 18.0, 2.6).dissolved_oxygen[-1, 0] == pytest.approx(0.6, abs=0.01)


def test_delivery_lifts_the_dawn():
    plain = daynight.dawn_low(daynight.simulate(BOX, GREEN))[0]
    lifted = daynight.dawn_low(daynight.simulate(BOX, GREEN, delivery="0.5 kg/h"))[0]
    # 0.5 kg/h over the 12 hours or so from 18:00 to dawn into 9868 m3 is 0.6 mg/L; some is lost to the air
    assert 0.4 < lifted - plain < 0.65


@settings(max_examples=25, deadline=None)
@given(st.floats(10, 31), st.floats(2, 300), st.floats(0, 0.15), st.floats(0.1, 2.5), st.floats(0, 6),
       st.floats(0.5, 12), st.floats(0, 0.3),
       st.sampled_from(["fish_mass_per_area", "mud_20c", "load", "plankton_scatter"]))
def test_more_users_never_leave_more_oxygen(warm, green, fish, mud, wind, dusk, more, user):
    # two ponds that differ in one user only: at no hour does the one with more of it hold more oxygen. Weeds are none
    # of these: what they do not use themselves feeds other life
    here = dict(temperature=warm, chlorophyll=green, fish_mass_per_area=fish, mud_20c=mud, wind_speed=wind, load=1.0,
                weed_cover=0.3, plankton_scatter=1.0)
    here[user] = here[user] + np.array([0.0, 10 * more])
    run = daynight.simulate.si(BOX, daynight.Conditions.si(**here), 36.0, 18.0, dusk, step=1800.0)
    few, many = run.dissolved_oxygen.T
    # hungrier mud takes over what algae and small life would have used, an even exchange but for the warmth of the
    # hour (6.5 against 6.6 % a degree); only what it asks beyond what sinks to it is more use
    even = user == "mud_20c"
    assert (many <= few + (1e-3 if even else 1e-9)).all() and many.min() >= 0
    if more > 0.01 and (few > 0.5).all() and not even:
        assert many[-1] < few[-1]


@settings(max_examples=25, deadline=None)
@given(st.floats(10, 31), st.floats(2, 300), st.floats(0, 6), st.floats(0.5, 12), st.floats(0, 1.5e-4), st.floats(0, 5))
def test_delivery_and_a_better_dusk_never_lower_the_oxygen(warm, green, wind, dusk, given_up, better):
    c = daynight.Conditions.si(warm, chlorophyll=green, fish_mass_per_area=0.03, wind_speed=wind)
    run = daynight.simulate.si(BOX, c, 36.0, 18.0, np.array([dusk, dusk, dusk + better]),
                               np.array([0.0, given_up, 0.0]), step=1800.0)
    plain, aerated, fuller = run.dissolved_oxygen.T
    assert (aerated >= plain - 1e-9).all() and (fuller >= plain - 1e-9).all()
    if given_up > 1e-5:
        assert aerated[-1] > plain[-1]


def test_runs_side_by_side_are_the_runs_alone():
    many = GREEN.with_values(chlorophyll=np.array([10.0, 80.0]), mud_20c=np.array([0.3, 1.5]),
                             clear_share=np.array([[1.0, 0.3], [0.5, 0.3]]))
    both = daynight.simulate(BOWL, many).dissolved_oxygen
    for i in (0, 1):
        alone = GREEN.with_values(chlorophyll=[10.0, 80.0][i], mud_20c=[0.3, 1.5][i],
                                  clear_share=[[1.0, 0.5], [0.3, 0.3]][i])
        assert np.allclose(both[:, i], daynight.simulate(BOWL, alone).dissolved_oxygen[:, 0], atol=1e-6)


def test_slabs_hold_the_volume_and_top_layer_its_share():
    for shape in (BOX, BOWL):
        tops, bottoms, areas = shape.slabs()
        assert np.sum(areas * (bottoms - tops)) == pytest.approx(shape.volume)
    cone = daynight.PondShape.si(1000 * 6 / 3, 1000.0, np.linspace(0, 6, 400), 1000 * (1 - np.linspace(0, 1, 400)) ** 2)
    top = cone.top(3)
    assert top.volume == pytest.approx(2000 * 7 / 8, rel=1e-3)      # the lower half of a cone holds an eighth
    assert top.bed_area == pytest.approx(750, rel=1e-3)             # and a quarter of the area lies below it


def test_shallow_light_counts_the_shape():
    # a bowl has less water in the dark than a box of its greatest depth, and more than one of its mean depth
    deep = daynight.PondShape.si(BOWL.volume, BOWL.volume / 6.1)
    made = [daynight.simulate(s, GREEN, hours=24.0).totals["made"][0] * s.volume / s.area for s in (deep, BOWL)]
    assert made[1] < made[0] * 1.05 and made[1] > 0.6 * made[0]


def test_units_pass_the_door():
    c = daynight.Conditions(Q("77 °F"), chlorophyll="0.05 mg/L", secchi_depth="18 in", wind_speed="5 mph")
    assert c.temperature == pytest.approx(25) and c.chlorophyll == pytest.approx(50)
    assert c.secchi_depth == pytest.approx(0.4572) and c.wind_speed == pytest.approx(2.2352)
    # 10 lb of feed a day into 8 acre-ft: 1.25 x 0.30 x 4.536 kg over 9868 m3 is 0.172 mg/L a day
    fed = daynight.Conditions("77 °F", load_per_day=sources.feed_load("10 lb/d").usual / Q("8 acre-ft"))
    assert fed.load_per_day == pytest.approx(0.1724, rel=1e-3)


@pytest.mark.parametrize("call, says", [
    (lambda: daynight.PondShape("0 m3", "1 acre"), "more than 0"),
    (lambda: daynight.PondShape.si(1.0, 1.0, [0, 1]), "both"),
    (lambda: daynight.PondShape.si(1.0, 1.0, [0, 1], [1.0, 2.0]), "grow with depth"),
    (lambda: daynight.Conditions("77 C"), "Fahrenheit"),
    (lambda: GREEN.with_values(chlorophyll=-1.0), "chlorophyll"),
    (lambda: GREEN.with_values(clear_share=2.0), "0 to 1"),
    (lambda: BOX.top(20), "at most"),
    (lambda: daynight.simulate(BOX, GREEN, hours=0), "hours"),
    (lambda: daynight.simulate(BOX, GREEN, dissolved_oxygen="-1 mg/L"), "0 or more"),
    (lambda: daynight.simulate(BOX, GREEN.with_values(load=1e6)), "seconds")])
def test_impossible_input_is_refused(call, says):
    with pytest.raises(ValueError, match=says):
        call()
