"""A tour of every reader of text and files with the mistakes learners make: each works, or says kindly what to do."""

import dataclasses
import importlib
import inspect
import pkgutil
import re
import warnings

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from wronginput import MAYBE, NEVER, SAME, TYPED, foreign, heading, unfinished, unkind

import pondcalc
from pondcalc import checks, columns, datafiles, record, textfiles, units
from pondcalc.back_pressure import compressor, lineplan, reach
from pondcalc.bubbles_and_oxygen import buckettest
from pondcalc.door import pipesizes, survey
from pondcalc.how_much_oxygen import oxygenlog
from pondcalc.power_and_housing import housing
from pondcalc.refusals import Caution
from pondcalc.the_year import upkeep, weather
from pondcalc.units import QuantityError
from pondcalc.warm_over_cold import profile


def text_of(name, count=24):
    """The first lines of a data file."""
    return "\n".join(datafiles.path(name).read_text(encoding="utf-8").splitlines()[:count])


WEATHER = "time,air temperature (F),wind (mph),humidity (%)\n" + "\n".join(
    f"2026-07-{1 + h // 24:02d} {h % 24:02d}:00,{70.5 + h % 24},5.5,60" for h in range(0, 72, 3))
NUMBER = checks.question("01-how-much-water", "demo-volume")

# reader of a whole file: function, good text, numbers to compare
FILES = {
    "bubbles_and_oxygen.buckettest.read_log": (buckettest.read_log, text_of("demo-bucket-test.csv"),
                                              lambda r: [*r.time, *r.dissolved_oxygen, r.water.temperature]),
    "how_much_oxygen.oxygenlog.read_log": (oxygenlog.read_log, text_of("demo-oxygen-log.csv"),
                                           lambda r: [*r.hours, *r.clock, *r.dissolved_oxygen, *r.temperature]),
    "warm_over_cold.profile.read_profile": (profile.read_profile, text_of("demo-profile-july.csv"),
                                            lambda r: [*r.depth, *r.temperature, *r.dissolved_oxygen]),
    "the_year.upkeep.read_log": (upkeep.read_log, text_of("demo-log.csv", 14),
                                 lambda r: [*r.day, *r.pressure_gauge, *r.hours, *r.bottom_oxygen]),
    "the_year.weather.read_weather": (lambda s: weather.read_weather(s, 38.0), WEATHER,
                                      lambda r: [*r.hour, *r.air_temperature, *r.wind_speed, *r.vapor_pressure]),
    "how_much_water.survey.read_survey": (survey.read_survey, text_of("demo-soundings.csv"),
                                          lambda r: [*r.soundings.x, *r.soundings.depth]),
    "how_much_water.survey.read_shoreline": (lambda s: survey.read_shoreline(s, None, None, None)[0],
                                                text_of("demo-shoreline.csv", 200),
                                                lambda r: [*r.values["x"], *r.values["y"]])}


def typed_table(text):
    """Readings typed as lists of entries, as two readers take them."""
    return [[entry.strip() for entry in line.split(",")] for line in text.splitlines()]


# reader of typed lines: function and good text
LINES = {
    "bubbles_and_oxygen.buckettest.typed_log": (buckettest.typed_log, "0, 0.3\n1, 1.1\n2, 1.9\n4, 3.3"),
    "back_pressure.compressor.read_curve": (compressor.read_curve, "0 psi, 4.6 cfm\n5 psi, 4.3 cfm\n10 psi, 3.9 cfm"),
    "back_pressure.compressor.typed_points": (compressor.typed_points, "5 psi, 4.3 cfm\n10 psi, 3.9 cfm"),
    "back_pressure.reach.read_told": (reach.read_told, "4.6 cfm at 1 psi\n5 psi, 4.3 cfm"),
    "back_pressure.lineplan.read_segments": (lineplan.read_segments, "250 ft, 0.824 in\n30 ft, 1/2 in, PVC"),
    "warm_over_cold.profile.read_lines": (profile.read_lines, "0 ft 80 F 7.5\n3 ft 79 F 7.2\n9 ft 68 F 1.0"),
    "warm_over_cold.profile.profile_from_readings": (lambda t: profile.profile_from_readings(typed_table(t)),
                                                     "1 ft, 76 F, 8 mg/L\n14 ft, 58 F, 0.3 mg/L"),
    "how_much_oxygen.oxygenlog.hand_log": (lambda t: oxygenlog.hand_log(typed_table(t)),
                                           "7:00 PM, 10.2 mg/L, 80 F\n10:00 PM, 8.7 mg/L, 79 F"),
    "record.from_text": (record.from_text, datafiles.path("demo-pond.json").read_text(encoding="utf-8")),
    "textfiles.open_table": (lambda t: textfiles.open_table(t, "log", "date,gauge (psi)"), text_of("demo-log.csv", 9)),
    "how_much_water.survey.open_sheet": (survey.open_sheet, text_of("demo-soundings.csv", 9))}

# reader of one quantity, date or name: function and something it takes
WORDS = {
    "units.read_quantity": (units.read_quantity, "19 ft"), "units.parse_unit": (units.parse_unit, "ft"),
    "units.read_number": (lambda t: units.read_number(t, "meter"), "19 ft"),
    "columns.read_moment": (columns.read_moment, "2025-07-14 19:00"),
    "warm_over_cold.profile.read_day": (profile.read_day, "July 24, 2025"),
    "datafiles.pick": (lambda t: datafiles.pick(t, ["a hose", "a pipe"], "kind of line"), "hose"),
    "back_pressure.pipesizes.find_pipe": (lambda t: pipesizes.find_pipe("PVC", t), "3/4 in"),
    "back_pressure.pipesizes.same_name": (pipesizes.same_name, "3/4 in"),
    "power_and_housing.housing.read_electricity": (housing.read_electricity, "4.4 A at 120 V"),
    "back_pressure.lineplan.family_of": (lineplan.family_of, "black poly"),
    "checks.judge": (lambda t: checks.judge(NUMBER, t), "15 acre-ft")}

# take text, but only after one of those above has read it, or text that is our own
INSIDE = {"textfiles.typed_lines", "how_much_water.survey.degrees",
          "units.refuse_water_flow", "units.refuse_air_flow", "tables.read", "tables.typed", "columns.unit_word",
          "textfiles.decode", "textfiles.tidy",
          "spellings.shortened", "spellings.quoted", "spellings.listed", "findings.wrapped",
          "recordfile.replace_file", "recordfile.writable", "recordfile.entries",
          "units.absolute_words", "back_pressure.reach.take_duty", "back_pressure.reach.decimal_points",
          "controls.page.said", "controls.how_much_water.sounding_pattern", "controls.bubbles_and_oxygen.places",
          "figures.style.axis_label", "figures.how_much_water.depth_map"}


TAKES = {"text", "source", "soundings", "shoreline", "readings", "given", "word", "words", "nominal", "cell"}


def test_the_tour_knows_every_reader():
    found = set()
    for found_module in pkgutil.walk_packages(pondcalc.__path__, "pondcalc."):
        module = importlib.import_module(found_module.name)
        for name, made in vars(module).items():
            takes = set(inspect.signature(made).parameters) if inspect.isfunction(made) else set()
            if not name.startswith("_") and takes & TAKES and made.__module__ == module.__name__:
                found.add(f"{module.__name__.removeprefix('pondcalc.')}.{name}")
    assert found == {*FILES, *LINES, *WORDS, *INSIDE}, "a reader is new, gone or renamed: put it on the tour"


def attempt(read, source):
    """Result and refusal of a reader, one of them None; nothing but a refusal or a caution may leave it."""
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always")
        try:
            result, refusal = read(source), None
        except ValueError as problem:
            result, refusal = None, str(problem)
    for caution in caught:
        assert issubclass(caution.category, Caution), caution
        assert len(str(caution.message)) < 400 and not unfinished(str(caution.message))
    return result, refusal


def numbers_of(thing):
    """Every float in a result, however deep."""
    if isinstance(thing, (float, np.ndarray)):
        return [thing] if np.ndim(thing) == 0 else [v for v in thing.ravel() if isinstance(v, float)]
    if dataclasses.is_dataclass(thing):
        thing = [getattr(thing, field.name) for field in dataclasses.fields(thing)]
    elif isinstance(thing, dict):
        thing = list(thing.values())
    return [v for part in thing for v in numbers_of(part)] if isinstance(thing, (list, tuple)) else []


def judged(read, source):
    """Whether a reader took it; if it did, nothing in it is endless, and what it says is short and finished."""
    result, refusal = attempt(read, source)
    if refusal is not None:
        assert not unkind(refusal), f"{unkind(refusal)}: {refusal[:400]}"
        return False
    assert not np.isinf(numbers_of(result)).any()
    for note in [*getattr(result, "notes", ()), *(row.reason for row in getattr(result, "dropped", ()))]:
        assert len(note) < 500 and not unfinished(re.sub("'[^']*'", "", note)), note
    return True


@pytest.mark.parametrize("dress", SAME)
@pytest.mark.parametrize("name", FILES)
def test_the_same_numbers_in_another_dress_are_read_alike(name, dress):
    read, good, look = FILES[name]
    assert look(read(SAME[dress](good))) == pytest.approx(look(read(good)), nan_ok=True)


@pytest.mark.parametrize("mistake", NEVER)
@pytest.mark.parametrize("name", FILES)
def test_what_is_no_table_is_refused_kindly(name, mistake):
    read, good, _ = FILES[name]
    assert not judged(read, NEVER[mistake](good)), "read as if it were right"


@pytest.mark.parametrize("name", {**FILES, **LINES})
def test_other_mistakes_work_or_are_refused_kindly(name):
    read, good, *_ = {**FILES, **LINES}[name]
    assert judged(read, good)
    made = [mistake(good) for mistake in [*MAYBE.values(), *NEVER.values()]]
    refused = [not judged(read, source) for source in made if isinstance(source, str) or name in FILES]
    assert sum(refused) >= 5, "this reader takes anything"


@pytest.mark.parametrize("name", WORDS)
def test_one_typed_quantity_works_or_is_refused_kindly(name):
    read, good = WORDS[name]
    assert judged(read, good)
    refused = 0
    for typed in TYPED:
        result, refusal = attempt(read, typed)
        said = refusal or getattr(result, "reply", None)
        refused += result is None or bool(refusal)
        assert said is None or not unkind(said) or result is not None and len(said) < 400, f"{unkind(said)}: {said}"
        if isinstance(result, units.Quantity):
            assert np.isfinite(result.magnitude)
    assert refused > len(TYPED) / 2 or name == "checks.judge"


@settings(max_examples=60)
@given(st.sampled_from(sorted({*LINES, *WORDS})), st.text(max_size=60))
def test_no_text_brings_a_reader_down(name, text):
    judged({**LINES, **WORDS}[name][0], text)


@settings(max_examples=40)
@given(st.sampled_from(sorted(FILES)), st.binary(max_size=200), st.integers(0, 400))
def test_no_bytes_bring_a_reader_down(name, junk, place):
    read, good, _ = FILES[name]
    raw = good.encode()
    judged(read, raw[:place] + junk + raw[place + len(junk):])


# ---- slips that look right: the wrong unit, the wrong order ----

@pytest.mark.parametrize(("name", "day"), [("the_year.upkeep.read_log", "25/12/2026"),
                                           ("the_year.weather.read_weather", "25/12/2026 13:00"),
                                           ("how_much_oxygen.oxygenlog.read_log", "25/12/2026 19:00")])
def test_a_date_with_the_day_first_is_not_taken_for_another_day(name, day):
    read, good, _ = FILES[name]
    lines = good.splitlines()
    lines[6] = day + lines[6][lines[6].index(","):]
    _, refusal = attempt(read, "\n".join(lines))
    assert "day first" in refusal and "2026-12-25" in refusal and not unkind(refusal)


@pytest.mark.parametrize(("text", "hour"), [
    ("2025-07-14 19:00", 19), ("2025-07-14T19:00:00", 19), ("7/14/2025 7:00 PM", 19), ("7/14/25 7PM", 19),
    ("14.07.2025 19:00", 19), ("2025/07/14 19:00:30", 19), ("7/14/2025", 0), ("2025-07-14 19:00:00.250", 19)])
def test_dates_in_several_orders_mean_the_same_day(text, hour):
    found = columns.read_moment(text)
    assert (found.year, found.month, found.day, found.hour) == (2025, 7, 14, hour)


@pytest.mark.parametrize("text", ["2025-07-14T19:00:00Z", "2025-07-14T19:00:00+00:00", "2025-07-14 19:00-0500",
                                  "2025-07-14 19:00 UTC"])
def test_a_time_in_another_zone_is_not_taken_for_the_clock_at_the_pond(text):
    with pytest.raises(units.QuantityError, match="clock time at the pond"):
        columns.read_moment(text)


@pytest.mark.parametrize(("read", "says"), [
    (lambda: lineplan.read_segments("250 ft, 3/4 ft"), "changed places"),                       # feet for inches
    (lambda: lineplan.read_segments("3/4 in, 250 ft"), "changed places"),
    (lambda: profile.read_lines("0 m 80 F\n14 m 60 F", pond_depth=units.Q("14 ft")), "feet and marked meters"),
    (lambda: profile.read_lines("0 ft 27 C\n9 ft 81 C"), "°F"),
    (lambda: survey.read_survey(heading("x_m,y_m,depth_ft,track")(text_of("demo-soundings.csv"))), "degrees used as"),
    (lambda: survey.read_survey(heading("lon,lat,depth_ft,track")(text_of("demo-soundings.csv"))), "swapped"),
    (lambda: upkeep.read_log("date,top oxygen (mg/L)\n2026-07-01,95\n"), "outside"),            # percent for mg/L
    (lambda: upkeep.read_log("date,top temp (C)\n2026-07-01,80\n"), "outside"),
    (lambda: FILES["the_year.weather.read_weather"][0](WEATHER.replace("(F)", "(C)")), "°F and marked °C"),
    (lambda: FILES["the_year.weather.read_weather"][0](WEATHER.replace("2026-07-01", "1926-07-01", 1)), "years"),
    (lambda: oxygenlog.read_log("time,DO,depth\n2025-07-14 20:00,9,3\n"), "depth .ft.. or .depth .m."),
    (lambda: compressor.read_curve("0 ft, 4.6 cfm\n5 ft, 4 cfm"), "not a pressure and a flow")])
def test_a_slip_that_looks_right_is_caught(read, says):
    with pytest.raises(ValueError, match=says) as caught:
        read()
    assert not unkind(str(caught.value))


def test_a_row_of_too_many_entries_shifts_nothing():
    kept = oxygenlog.read_log("time,DO mg/L,temp F\n2025-07-14 19:00,9.1,80\n2025-07-14 20:00,8,9,80\n")
    assert list(kept.dissolved_oxygen) == [9.1] and "more entries" in kept.dropped[0].reason
    kept = buckettest.read_log("Time (min),DO (mg/L)\n0,1\n1,2\n2,3,1\n")
    assert list(kept.dissolved_oxygen) == [1, 2] and "more entries" in kept.notes[0]
    with pytest.raises(QuantityError, match="the log text, line 3: it has more entries"):
        upkeep.read_log("date,gauge pressure (psi)\n2026-07-01,7\n2026-07-08,7,1\n")


def test_one_bare_time_among_dated_ones_is_left_out_and_said():
    kept = oxygenlog.read_log("time,DO\n2025-07-14 19:00,9\n8:00 PM,8\n2025-07-14 21:00,7\n")
    assert list(kept.hours) == [0, 2] and "has no date" in kept.dropped[0].reason


# ---- the record ----

DEMO = datafiles.path("demo-pond.json").read_text(encoding="utf-8")


def deepest(entry):
    """The record with another entry for its deepest place."""
    return lambda text: re.sub(r'"deepest": "[^"]*"', f'"deepest": {entry}', text)


def instead(head, entry):
    """The record with another entry where `head` begins a bracket."""
    return lambda text: text.replace(head, head[:-1] + entry + ', "x": ' + head[-1], 1)


@pytest.mark.parametrize("damage", [
    lambda t: t.replace('"name": ', '"name": null, "x": '), lambda t: re.sub(r'"name": "[^"]*"', '"name": ["a"]', t),
    lambda t: t.replace('"version": 1', '"version": true'), lambda t: t.replace('"version": 1', '"version": NaN'),
    lambda t: t.replace('"version": 1', '"version": "1"'), lambda t: t.replace('"version": 1', '"version": 1e999'),
    lambda t: t.replace('"version": 1', '"version": ' + "9" * 5000), lambda t: "[" * 100_000,
    lambda t: t.replace('"invented": true', '"invented": "yes"'), deepest("14.5"), deepest("null"),
    deepest('"1e999 foot"'), deepest('"nan foot"'), deepest('"14 psi"'), deepest('{"low": "1 foot"}'), deepest('""'),
    deepest('"' + "9" * 5000 + ' foot"'), instead('"sections": {', "[]"), instead('"water": {', "null"),
    instead('"volume": {', '"3 acre_foot"'), instead('"level_depth": [', '"0 foot"'), instead('"stamps": {', "[1]"),
    lambda t: t.replace('"units": "US"', '"units": ["US"]'), lambda t: t.replace('"water": {', '"<script>": {'),
    lambda t: t.replace('"deepest"', '"' + "d" * 5000 + '"')])
def test_a_record_mended_by_hand_the_wrong_way_is_used_as_far_as_it_goes_or_refused_and_kept(damage, tmp_path):
    broken = damage(DEMO)
    assert broken != DEMO
    path = tmp_path / "my-pond.json"
    path.write_text(broken, encoding="utf-8")
    if broken.startswith("[["):
        for act in (lambda: record.load(path), lambda: record.rename("New", "US", {}, path),
                    lambda: record.save_section("line", {"length": units.Q("9 ft")}, path)):
            with pytest.raises(record.RecordError) as caught:
                act()
            assert not unkind(str(caught.value)), f"{unkind(str(caught.value))}: {caught.value}"
            assert "Nothing was changed" in str(caught.value)
        assert path.read_text(encoding="utf-8") == broken
        assert [p.name for p in tmp_path.iterdir()] == ["my-pond.json"]
        return
    found = record.load(path)
    unknown = "<script>" in broken or "ddd" in broken
    assert (unknown or found.notes and not unkind(" ".join(found.notes))), found.notes
    record.save_section("line", {"length": units.Q("9 ft")}, path)
    after = re.sub(r"\s", "", path.read_text(encoding="utf-8"))
    assert not [line for line in broken.splitlines() if re.sub(r"\s", "", line).rstrip(",") not in after
                and '"sections"' not in line and '"stamps"' not in line]


@pytest.mark.parametrize("value", ["inf", "-inf", "nan"])
def test_a_number_that_is_none_is_never_written_into_a_record(value, tmp_path):
    path = record.save(record.PondRecord("p"), tmp_path / "p.json")
    before = path.read_text()
    for values in ({"length": units.Q(float(value), "ft")}, {"segment_length": [units.Q(float(value), "ft")]},
                   {"pressure_gauge": units.Range(*(units.Q(float(value), "psi"),) * 3)}):
        with pytest.raises(record.RecordError) as caught:
            record.save_section("line", values, path)
        assert len(str(caught.value)) < 300
    assert path.read_text() == before and record.load(path).name == "p"


def test_a_folder_in_place_of_the_record_and_a_missing_folder_are_named(tmp_path):
    (tmp_path / "my-pond.json").mkdir()
    for act in (lambda: record.load(tmp_path / "my-pond.json"),
                lambda: record.save(record.PondRecord("p"), tmp_path / "nowhere" / "p.json")):
        with pytest.raises(record.RecordError) as caught:
            act()
        assert not unkind(str(caught.value))


# ---- the judge of this tour can say no ----

@pytest.mark.parametrize("message", [
    "No.", "could not convert string to float: 'x' in this cell; check it",
    "The depth is wrong and that is that, sorry.",
    "Write it again, because 'NoneType' object has no attribute strip. NoneType", "Check it.\nThen check it once more.",
    "Write " + "x" * 900, "Check the cell b'\\xff' in the file of readings, and write it again."])
def test_an_unkind_message_is_noticed(message):
    assert unkind(message)


def test_a_kind_message_a_foreign_unit_and_an_unfinished_number_are_told_apart():
    assert not unkind("'5 psi' does not measure what is asked for here. Write something like '10 ft' or '10 m'.")
    assert foreign("at 3 ft under the water", "metric") and foreign("at 3 m under the water", "US")
    assert not foreign("at 0.9 m (3 ft), plan “3 ft up”", "metric")
    assert not foreign("at 3 ft (0.9 m), 5 mg/L", "US")
    assert unfinished("it is nan ft") and unfinished("x=-inf, y")
    assert unfinished("None") and not unfinished("an inflow")
    assert numbers_of({"a": (1.0, [2.0, np.array([3.0])])}) == [1, 2, 3]


@pytest.mark.parametrize("system", ["US", "metric"])
def test_both_units_of_a_refusal_are_put_in_the_readers_order(system):
    from pondcalc.spellings import either, reading
    with reading(system):
        said = (f"it needs {units.show(units.Q('5.93 psi'), 'pressure', both=True)} at {units.length_text(3.7)}, under "
                f"{either('104 °F', '40 °C')}")
    assert not foreign(said, system), said
    assert sorted(re.findall(r"[\d.]+", said)) == sorted(["5.93", "40.9", "12.1", "3.70", "40", "104"])
    assert units.length_text(3.7) == "12.1 ft (3.70 m)"


def test_text_files_are_still_tidied_in_one_place():
    assert textfiles.tidy("\ufeffa\u00a0b\0\0\nc\0d") == "a b\nc\ufffdd"
