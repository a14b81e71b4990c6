"""One night with every bad case stacked: one sum for workbooks 02 and 08, in the owner's words, at any warmth."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pondcalc import record
from pondcalc.controls import how_much_oxygen, the_year, your_plan
from pondcalc.door import oxygencase
from pondcalc.how_much_oxygen import daynight, oxygen
from pondcalc.units import Q, Range
from pondcalc.water import STANDARD
from pondcalc.your_plan import plan, planparts

pytestmark = pytest.mark.filterwarnings("ignore:Water of")       # models called as they stand
LB, ACRE, DAY = 0.45359237, 4046.8564224, 86400.0
BOX = daynight.PondShape(2.0 * ACRE, ACRE)


def celsius(fahrenheit):
    return (fahrenheit - 32) / 1.8


def said(**words):
    return oxygencase.Described(**({"fish": "0 lb/acre", "temperature": "20 °C"} | words))


# nothing that a form would refuse; 02 itself refuses an evening that begins below the oxygen to keep
DUSKS = st.none() | st.tuples(st.floats(4.0, 20.0), st.sampled_from(oxygencase.WHERE_READ))


@st.composite
def ponds(draw):
    """A record with invented water, and words for its oxygen."""
    area, deep = draw(st.floats(0.1, 20)), draw(st.floats(4, 40))
    middle, off = area * deep * draw(st.floats(0.25, 0.9)), draw(st.floats(0, 0.4))
    words = {"fish": Q(draw(st.floats(0, 3000)), "lb/acre"), "temperature": Q(draw(st.floats(32, 95)), "degF"),
             "color": draw(st.sampled_from(["clear", "slightly green", "green", "pea green"])),
             "mud": draw(st.sampled_from(["sand or clay", "ordinary", "black and deep"])),
             "weed_cover": Q(draw(st.floats(0, 100)), "%"), "feed_per_day": Q(draw(st.floats(0, 50)), "lb/d"),
             "night": Q(draw(st.floats(6, 24)), "h"), "floor": Q(draw(st.floats(1, 4)), "mg/L")}
    if draw(st.booleans()):
        words["secchi_depth"] = Q(draw(st.floats(0.5, 12)), "ft")
    dusk = draw(DUSKS)
    if dusk is not None:
        words |= {"dusk": Q(dusk[0], "mg/L"), "dusk_where": dusk[1]}
    return record.PondRecord("drawn", sections={
        "site": {"elevation": Q(draw(st.floats(0, 6000)), "ft")},
        "water": {"area": Range(*(Q(area, "acre"),) * 3), "deepest": Q(deep, "ft"),
                  "volume": Range(*(Q(middle * (1 + share), "acre_foot") for share in (-off, 0, off)))},
        "oxygen": words})


@given(ponds())
@settings(max_examples=40)
def test_02_and_08_give_the_same_number_to_the_digit_at_any_warmth(pond):
    words = oxygencase.described_from(pond)
    first = oxygencase.delivery_need(oxygencase.shape_of(pond), words, 10, step=7200.0).budget
    made = plan.first_plan(plan.choices_from(pond))
    assert tuple(first) == tuple(made.one_night) == tuple(made.budget.delivery)
    # and again after a record has been written and read
    kept = record.from_text(record.to_text(pond))
    again = oxygencase.one_night(oxygencase.shape_of(kept), oxygencase.described_from(kept))
    assert tuple(again.delivery) == tuple(plan.first_plan(plan.choices_from(kept)).one_night)


@pytest.mark.parametrize("fahrenheit", [32, 50, 59, 82, 86, 90, 93, 95])
def test_the_sliders_of_02_and_08_agree_and_note_what_nobody_measured(fahrenheit):
    pond = record.demo()
    need, night = how_much_oxygen.delivery_needed(pond), your_plan.night(pond)
    for explorer in (need, night):
        explorer.set_texts({"temperature": f"{fahrenheit} °F"})
        noted = "outside 59 to 86 °F" in explorer._readout.value
        assert noted == (not 59 <= fahrenheit <= 86), explorer
    high = [made._model(**made.values).budget for made in (need, night)]
    assert high[0] == high[1].delivery.high
    need.set_texts({"share": "60"})         # another slider does not lose the note
    assert ("outside 59 to 86 °F" in need._readout.value) == (not 59 <= fahrenheit <= 86)


def test_nothing_stands_still_above_86_and_the_growth_is_that_of_the_sources():
    # fish about double their use for 10 °C (C. E. Boyd, Dissolved oxygen requirements in aquatic animal respiration;
    # seen): from 30 to 35 °C times 2^0.5. Mud 1.065 per °C (lake-model source, second-hand): times 1.065^5 = 1.370
    with pytest.warns(UserWarning, match="outside 59 to 86 °F"):
        hot = oxygen.night_demand(1e4, ACRE, 0.03, 35.0)
    warm = oxygen.night_demand(1e4, ACRE, 0.03, 30.0)
    for end in range(3):
        assert hot.fish[end] / warm.fish[end] == pytest.approx(2**0.5)
        assert hot.mud[end] / warm.mud[end] == pytest.approx(1.370, abs=1e-3)
    with pytest.warns(UserWarning, match="outside 59 to 86 °F"):
        cold = oxygen.night_demand(1e4, ACRE, 0.03, 5.0)
    assert oxygen.night_demand(1e4, ACRE, 0.03, 15.0).fish.usual / cold.fish.usual == pytest.approx(2.0)
    pond = record.demo()
    highs = []
    for fahrenheit in (82, 86, 90, 93, 95):
        words = oxygencase.described_from(pond).with_values(temperature=celsius(fahrenheit))
        highs.append(your_plan.night(pond)._model(words.fish, words.temperature, words.night, words.floor)
                     .budget.delivery.high)
    assert all(later > 1.02 * earlier for earlier, later in zip(highs, highs[1:], strict=False)), highs


def test_a_night_by_hand():
    # one acre, 2 m deep, 20 °C, no fish. 1, 2 and 3 mg/L a day afloat in 2 m use 2, 4 and 6 g/m2 a day; mud 0.5, 1
    # and 2; 10 kg a day besides; 12 h: half of it. Dusk 8, 9, 10 mg/L in 2 m holds 16, 18, 20 g/m2; 4 mg/L is 8
    night = oxygen.night_budget(2 * ACRE, ACRE, 0.0, STANDARD, DAY / 2, floor=4.0,
                                dissolved_oxygen=Range(8.0, 9.0, 10.0), plankton=Range(1.0, 2.0, 3.0),
                                mud_20c=Range(0.5, 1.0, 2.0), besides=Range(*(10 / DAY,) * 3))
    for end, used in enumerate((2.5, 5.0, 8.0)):
        assert night.used[end] == pytest.approx((used * ACRE * 1e-3 + 10) / 2)
    # worst: 16 g/m2 less 4 and 5 kg over the acre (1.236 g/m2) leave 10.76 g/m2 in 2 m
    assert night.dawn.low == pytest.approx((16 - 4 - 5e3 / ACRE) / 2)
    assert night.delivery.high == 0
    short = oxygen.night_budget(2 * ACRE, ACRE, 0.0, STANDARD, DAY / 2, floor=4.0, dissolved_oxygen=5.0,
                                plankton=Range(1.0, 2.0, 3.0), mud_20c=Range(0.5, 1.0, 2.0))
    # 10 g/m2 held, 8 to keep: 2 to spare of the 4 that the bad night uses; 2 g/m2 in 12 h must come in
    assert short.delivery.high == pytest.approx(2e-3 * ACRE / (DAY / 2))


def test_the_budget_follows_every_word_of_the_owner():
    base = oxygencase.one_night(BOX, said(color="green"))
    for more in ({"color": "pea green"}, {"fish": "1500 lb/acre"}, {"weed_cover": "80 %"}, {"secchi_depth": "6 in"}):
        worse = oxygencase.one_night(BOX, said(**{"color": "green"} | more))
        assert worse.demand.usual > base.demand.usual and worse.dawn.usual < base.dawn.usual, more
    for less in ({"color": "clear"}, {"secchi_depth": "9 ft"}):
        assert oxygencase.one_night(BOX, said(**{"color": "green"} | less)).demand.usual < base.demand.usual, less
    # in clear water the mud is the large user
    sand, usual, black = (oxygencase.one_night(BOX, said(color="clear", mud=mud)).demand.usual
                          for mud in ("sand or clay", "ordinary", "black and deep"))
    assert sand < 0.9 * usual < usual < 0.9 * black
    # feed: 1.25 kg of oxygen for each kg (C. E. Boyd, Oxygen demand of aquaculture feed; seen), of which the fish do
    # not breathe 15, 30 and 50 % (5 to 10 % is uneaten, seen; the rest judgment). 10 kg a day: 1.875, 3.75, 6.25 kg
    fed = oxygencase.one_night(BOX, said(color="green", feed_per_day="10 kg/d"))
    for end, kilos in enumerate((1.875, 3.75, 6.25)):
        assert (fed.demand[end] - base.demand[end]) * DAY == pytest.approx(kilos)
    assert oxygencase.one_night(BOX, said(color="green", dusk="5 mg/L")).held.high == pytest.approx(5e-3 * BOX.volume)


def test_08_uses_the_words_that_02_saved():
    green = {"color": "pea green", "mud": "black and deep", "weed_cover": Q("60 %")}
    usual, rich = (plan.choices_from(pond) for pond in (record.demo(), record.demo().with_section("oxygen", green)))
    assert rich.one_night.delivery.high > 1.2 * usual.one_night.delivery.high
    assert {"color", "mud"} <= set(usual.assumed) and not {"color", "mud"} & set(rich.assumed)
    words = planparts.say_assumed(planparts.whole_plan(record.demo()))
    assert "color of the water green" in words and "mud ordinary" in words
    shown = {your_plan.night(pond)._readout.value
             for pond in (record.demo(), record.demo().with_section("oxygen", green))}
    assert len(shown) == 2


def test_the_note_reaches_form_plan_and_paper(monkeypatch):
    monkeypatch.setattr(how_much_oxygen, "RUNS", 60)
    pond = dataclasses.replace(record.demo(), invented=False)
    for warmth, noted in (("84 °F", False), ("91 °F", True), ("48 °F", True)):
        form = how_much_oxygen.OwnOxygen(pond)
        form.fields["temperature"].value = warmth
        form.work()
        assert form.values is not None and ("outside 59 to 86 °F" in form.message.value) == noted
        assert form.message.value.count("outside 59 to 86 °F") == noted
        whole = planparts.whole_plan(pond.with_section("oxygen", form.wanted()))
        assert ("outside 59 to 86 °F" in planparts.say_whole(whole)) == noted
        assert ("outside 59 to 86 °F" in planparts.sheet_html(whole)) == noted


def test_limits_of_warmth_and_of_the_white_disk_have_one_home():
    pond = record.demo()
    for made in (how_much_oxygen.who_uses(pond), how_much_oxygen.three_days(pond), how_much_oxygen.bad_dawn(pond),
                 how_much_oxygen.delivery_needed(pond), your_plan.night(pond)):
        slider = next(control for control in made._controls if control.name == "temperature")
        assert slider.bounds("US")[:2] == (32, 95) and slider.bounds("metric")[:2] == (0, 35)
    box = how_much_oxygen.OwnOxygen(pond).fields["temperature"]
    assert (box.low, box.high) == ("32 °F", "95 °F")
    disks = [next(control for control in made._controls if "secchi" in control.name).bounds("US")
             for made in (how_much_oxygen.three_days(pond), the_year.year(pond))]
    assert disks[0] == disks[1] and disks[0][0] == pytest.approx(0.2)
    boxes = how_much_oxygen.OwnOxygen(pond).fields["secchi_depth"], the_year.OwnWeather(pond).secchi
    assert {(made.low, made.high) for made in boxes} == {("2.4 in", "50 ft")}
    # a clear pond's own reading stretches the slider
    clear = pond.with_section("oxygen", {"secchi_depth": Q("18 ft")})
    shown = next(control for control in how_much_oxygen.three_days(clear)._controls if control.name == "secchi_depth")
    assert shown.bounds("US")[1] >= 18
    for ends in ("31 °F", "96 °F"):
        with pytest.raises(ValueError, match="Warmest water.* outside 32.0 °F"):
            said(temperature=ends)
    for disk in ("2 in", "51 ft"):
        with pytest.raises(ValueError, match="Secchi depth.* outside 0.200 ft"):
            said(secchi_depth=disk)


def test_an_unknown_moved_past_the_limit_stops_there():
    hot = plan.changed(plan.choices_from(record.demo()), temperature=celsius(94))
    _, swings = plan.one_at_a_time(hot, "Oxygen at dawn")
    warmth = next(swing for swing in swings if swing.words == "Warmest water")
    # 94 °F less 3.6 and no more than 95
    assert [end.m_as("degF") for end in warmth.ends] == pytest.approx([90.4, 95.0])
    assert warmth.results[0] > warmth.results[1]


@pytest.mark.parametrize("color", ["clear", "slightly green", "green", "pea green"])
@pytest.mark.parametrize("weeds", [0.0, 0.3, 0.7])
@pytest.mark.parametrize("warm", [20.0, 27.0, 31.0])
def test_the_budget_of_a_night_and_the_days_and_nights_use_the_same_in_one_pond(color, weeds, warm):
    # two roads to one number: the budget's steady use, and what all users of a day and a half took in the model that
    # steps by the clock, its day warmer than its night
    words = said(color=color, mud="ordinary", weed_cover=Q(weeds, ""), temperature=Q(warm, "degC"))
    run = daynight.simulate(BOX, oxygencase.conditions_of(BOX, words), 36.0, 18.0, 9.0, step=1800.0)
    stepped = sum(float(np.ravel(run.totals[user])[0]) for user in ("plankton", "mud", "fish", "weeds")) / 36
    steady = oxygencase.one_night(BOX, words).demand.usual * 3600 / BOX.volume * 1e3
    assert steady == pytest.approx(stepped, rel=0.2)
