"""The whole plan, where each number comes from, and the sheet on paper."""

import dataclasses
import datetime
import html.parser
import os
import re
from pathlib import Path

import pytest

from pondcalc import findings, record
from pondcalc.controls import your_plan
from pondcalc.how_much_oxygen import fishlimits
from pondcalc.spellings import reading
from pondcalc.units import Q, Range
from pondcalc.your_plan import plan, planparts, staleness, tobuy

pytestmark = pytest.mark.usefixtures("worked_out_once")


def span(low, usual, high, unit):
    return Range(Q(low, unit), Q(usual, unit), Q(high, unit))


@pytest.fixture(scope="module")
def full():
    """An invented record in which every workbook has been done."""
    pond = dataclasses.replace(record.demo(), invented=False, name="North")
    for section, values in {
        "oxygen": {"fish": Q("400 lb/acre"), "temperature": Q("84 F"), "night": Q("11 h"), "floor": Q("4 mg/L"),
                   "delivery": span(0, 0.5, 6, "lb/h"), "dawn": span(1, 4, 7, "mg/L"), "chance": Q("20 %")},
        "air": {"diffusers": Q(2.0, "dimensionless"), "diffuser": "membrane", "submergence": Q("11.5 ft"),
                "flow_free_air": span(3.2, 4, 4.8, "cfm"), "lifted": span(2000, 3600, 7000, "gpm"),
                "turnover": span(11, 22, 44, "h")},
        "line": {"length": Q("310 ft"), "inside_diameter": Q("0.8 in"), "pressure_rated": Q("7.8 psi"),
                 "pressure_gauge": span(5.8, 6.2, 6.8, "psi")},
        "power": {"power": span(180, 220, 260, "W"), "wire_gauge": Q(12.0, "dimensionless"), "fan_flow": Q("60 cfm"),
                  "current": Q("3.1 A")},
        "layers": {"kind": "warm over cold", "read_on": "2026-07-18"},
        "year": {"start_hours": [Q("0.5 h"), Q("1 h"), Q("24 h")], "start_ranges": ["x"],
                 "stop_reading": Q("4.5 mg/L")}}.items():
        pond = pond.with_section(section, values, section)
    return pond


def lines(whole):
    return {line.words: line for part in whole.parts for line in part.lines}


def test_every_number_says_where_it_comes_from(full):
    for pond in (full, record.demo()):
        found = lines(planparts.whole_plan(pond))
        assert all(re.match(r"0[0-8]", line.source) for line in found.values())
    found = lines(planparts.whole_plan(full))
    wanted = {"Water in the full pond": "01", "Oxygen at dawn without air": "02", "Diffusers, membrane": "03",
              "Depth of the diffusers": "03", "Line, machine to diffuser": "04",
              "Rated pressure to ask for, on this line": "04",
              "Power, from plate or meter": "06", "Air through the cabinet on the hottest day": "06",
              "Layers, read 2026-07-18": "05",
              "Run times, day by day": "07", "Price of electricity": "00",
              "Electricity, one year day and night": "06"}
    assert {words: found[words].source for words in wanted} == wanted
    assert plan.say_value(found["Diffusers, membrane"]) == "2"
    assert found["Run times, day by day"].value == "30 min, 1 h; then 24 h as said below"


def test_what_nobody_found_out_is_said_and_marked(full):
    whole = planparts.whole_plan(record.demo())
    text = planparts.say_whole(whole)
    for workbook in ("02", "04", "06", "07"):
        assert f"not known yet; do workbook {workbook}" in text
    assert lines(whole)["Line, machine to diffuser"].source == "08, assumed"
    assert "Assumed, because nothing is saved: fish 250 lb/acre" in text
    assert "not known yet" not in planparts.say_whole(planparts.whole_plan(full))


def test_the_first_start_is_either_known_or_to_be_found_out(full):
    for pond, known in ((full, True), (record.demo(), False)):
        page = planparts.sheet_html(planparts.whole_plan(pond))
        assert ("Follow the first-start schedule" in page) == known
        assert ("do workbook 07 before you switch on" in page) != known


def test_one_power_one_cost_everywhere(full):
    whole = planparts.whole_plan(full)
    # 180 to 260 W for 8,760 h at 17.3 cents: $272.79 to $394.03 a year
    assert whole.plan.cost == pytest.approx([272.79, 333.41, 394.03], abs=0.02)
    beside = {row[0]: row[1] for row in plan.side_by_side(whole.others)}
    assert beside["Power"] == "180 to 260 W" and beside["Cost of a year"] == "$270 to $390/yr"
    kept = lines(whole)["Ten years of the machine"].value
    assert kept == pytest.approx(whole.others[0].ten_years)
    assert "Electric power it would draw" not in lines(whole)


def test_wire_and_breaker_come_from_the_saved_current(full):
    found = lines(planparts.whole_plan(full))
    # 125 % of 3.1 A (NEC 210.19(A)(1)); 20 A before 12 AWG (NEC 240.4(D), from memory)
    assert found["Wire and breaker rated for at least"].value.m_as("A") == pytest.approx(3.875)
    assert found["Largest breaker usual on that wire"].value.m_as("A") == 20


def test_an_invented_pond_never_passes_for_the_readers_own(full):
    bare = record.PondRecord("Mine").with_section("site", {"elevation": Q("300 ft"), "price": Q("12 cents/kWh")})
    for pond, price in ((plan.example_for(bare), "$0.120/kWh   [00]"),
                        (record.demo(), "$0.173/kWh   [00, EXAMPLE]")):
        whole = planparts.whole_plan(pond)
        text, page = planparts.say_whole(whole), planparts.sheet_html(whole)
        assert text.startswith("EXAMPLE, not a plan") and "Do workbook 01" in text and price in text
        assert "acre-ft (15 to 16 acre-ft)   [01, EXAMPLE]" in text
        assert "<body class='example'>" in page and "<h1>EXAMPLE, not an aeration plan" in page
    page = planparts.sheet_html(planparts.whole_plan(full))
    assert "<body>" in page and "[01, EXAMPLE]" not in page


def test_do_not_switch_on_a_layered_pond(full):
    assert planparts.hold(full).startswith("DO NOT SWITCH ON: LAYERED, warm water over cold (read 2026-07-18)")
    assert "schedule below" in planparts.hold(full)
    assert planparts.hold(full.with_section("layers", {"kind": "mixed"})) == ""
    # readings that end in good water far above the diffuser say neither mixed nor layered
    for kind in ("mixed", "warm over cold"):
        for oxygen in ({"reading_oxygen": [Q("8 mg/L")] * 3}, {}):
            short = full.with_section("layers", {
                "kind": kind, "reading_depth": [Q(f"{z} ft") for z in (1, 3, 5)],
                "reading_temperature": [Q("71 F")] * 3, **oxygen})
            whole = planparts.whole_plan(short)
            for words in (planparts.say_whole(whole), planparts.sheet_html(whole)):
                assert "DO NOT SWITCH ON: NOT READ DEEP ENOUGH" in words and "end at 5.00 ft" in words
                assert "Follow the first-start schedule" not in words and "Run times, day by day" not in words
    winter = record.demo().with_section("layers", {"kind": "cold over warm"})
    assert "DO NOT SWITCH ON" in planparts.hold(winter) and "workbook 07" in planparts.hold(winter)
    assert "not known" in planparts.hold(record.demo())


def test_what_is_out_of_date_is_marked_on_its_lines(full):
    old = {"saved": "2020-01-01T00:00:00+00:00", "by": "04"}
    pond = dataclasses.replace(full, stamps={**full.stamps, "line": old})
    whole = planparts.whole_plan(pond)
    assert "line" in [item.section for item in staleness.stale(pond)]
    assert planparts.mark(lines(whole)["Line, machine to diffuser"], whole) == "04, OUT OF DATE"
    assert planparts.mark(lines(whole)["Diffusers, membrane"], whole) == "03"
    text = planparts.say_whole(whole)
    assert text.index("“line” is out of date") < text.index("WATER AND NEED") and "[04, OUT OF DATE]" in text


def test_a_machine_without_reach_still_makes_a_page(full):
    short = full.with_section("line", {"curve_pressure": [Q("0 psi"), Q("3 psi")],
                                       "curve_flow": [Q("5 cfm"), Q("1 cfm")]})
    text = planparts.say_whole(planparts.whole_plan(short))
    assert "cannot reach" in text and "A none" not in text.split("SIDE BY SIDE")[0]
    # a plate reading of an idle machine still costs
    assert "Electricity, one year" in text


HOURS = (0.75, 1.0, 1.25, 1.5, 2.0, 2.0, 2.0, 2.25, 3.0)
GO = (6.4, 6.3, 6.2, 6.1, 6.0, 5.9, 5.8, 5.2, 5.7)


def scheduled(pond):
    """With a first start as workbook 07 keeps it."""
    kept = pond.sections["year"]
    return pond.with_section("year", {
        **kept, "start_hours": [Q(h, "h") for h in (*HOURS, 24.0)], "go_reading": [Q(g, "mg/L") for g in GO],
        "floor": Q("4 mg/L"), "air_from": "Mar 23", "air_to": "Nov 9", "winter": "no air in winter"}, "07")


def with_machine(pond, most="10 psi", flow="97 L/min"):
    """With a machine whose curve is flat, so that it sends this air wherever it runs."""
    line = {**pond.sections["line"], "flow_free_air": Q(flow), "compressor": "mine",
            "curve_pressure": [Q("0 psi"), Q(most)], "curve_flow": [Q(flow), Q(flow)]}
    return pond.with_section("line", line, "04")


def test_run_times_stand_with_their_conditions(full):
    pond = scheduled(full)
    found = lines(planparts.whole_plan(pond))
    assert found["Run times, day by day"].value == (
        "45 min, 1 h, 1 h 15 min, 1 h 30 min, 2 h (3 days), 2 h 15 min, 3 h; then 24 h as said below"), "as a timer"
    # the readings of seven days, then the highest of 5.2 and 5.7
    assert found["Run that day only if the meter at dawn reads"].value == (
        "6.4, 6.3, 6.2, 6.1, 6.0, 5.9, 5.8; from day 8: 5.7 mg/L or more; else wait a day")
    assert found["Stop when the top water reads below"].value == Q("4.5 mg/L")
    for text in (planparts.say_whole(planparts.whole_plan(pond)), planparts.sheet_html(planparts.whole_plan(pond))):
        assert "24 h only when the readings show the cold stagnant water gone" in text and "4.0 mg/L or more" in text
        assert "2 F° (1 C°)" in text and "fish gulp" in text and "see workbook 07 for the conditions" not in text
    assert "see workbook 07 for the conditions" in planparts.sheet_html(planparts.whole_plan(full)), "an old record"
    mixed = full.with_section("year", {"start_hours": [Q("24 h")], "start_rule": "Mixed pond: run day and night."})
    words = planparts.say_whole(planparts.whole_plan(mixed))
    assert "day by day: 24 h   [07]" in words and "for the conditions" not in words


def test_no_ladder_and_a_ladder_of_older_sums_are_told(full):
    refused = full.with_section("year", {"start_rule": "Do not start now. No ladder keeps 4.0 mg/L."}, "07")
    words = planparts.say_whole(planparts.whole_plan(refused))
    assert "Do not start now. No ladder keeps" in words and "found no ladder for these readings" in words
    assert "There is no schedule" in planparts.cautions(refused)[0] and "Run times" not in words
    # out of date, as soon as the readings are new
    again = refused.with_section("layers", {"kind": "warm over cold", "read_on": "2026-09-18"}, "05")
    stamps = {**again.stamps, "layers": {"saved": "2999-01-01T00:00:00+00:00", "by": "05"}}
    words = planparts.say_whole(planparts.whole_plan(dataclasses.replace(again, stamps=stamps)))
    assert "Do not start now" not in words and "do workbook 07 before you switch on" in words
    # run times without their ranges come from sums that counted less
    kept = {key: value for key, value in full.sections["year"].items() if key != "start_ranges"}
    assert "is out of date" in planparts.hold(full.with_section("year", kept, "07"))
    assert "is out of date" not in planparts.hold(full)


def test_a_year_costs_what_its_months_cost(full):
    name = "In your months, 232 of 365 days"        # Mar 23 is day 82, Nov 9 day 313
    pond = scheduled(full)
    whole = planparts.whole_plan(pond)
    # 220 W for 8,760 h at 17.3 cents is $333.41; 232/365 of it $211.92
    assert lines(whole)[name].value.usual == pytest.approx(211.92, abs=0.05)
    words = planparts.say_whole(whole)
    # a twelfth of $272.79 and $394.03, of 180 and 260 W
    assert "A month of running: $23 to $33. Ten years: run Mar 23 to Nov 9, 232 days a year [07]" in words
    assert "Cost of a year, 232 days: A $170 to $250/yr" in words
    # ten years by hand: $2,119 of electricity at 220 W, a machine of $600 bought again at 8 years, kits of $90 at 2, 4,
    # 6 and 8, upkeep of $30 a year
    ten = lines(whole)["Ten years of the machine"].value
    assert ten.usual == pytest.approx(10 * 211.92 + 1200 + 360 + 300, abs=1)
    assert ten == pytest.approx(whole.others[0].ten_years)
    all_year = planparts.say_whole(planparts.whole_plan(full))
    assert "run all year, since no months with air are saved [07]" in all_year
    for change in ({"winter": "air, with signs and rope"}, {"air_from": "Jan 1", "air_to": "Dec 31"},
                   {"air_from": "in spring"}):
        other = pond.with_section("year", {**pond.sections["year"], **change})
        assert not any(words.startswith("In your months") for words in lines(planparts.whole_plan(other)))


def test_the_readers_own_machine_is_judged_first(full):
    def compressor(pond):
        whole = planparts.whole_plan(pond)
        return next(part.words for part in whole.parts if part.title == "Compressor")
    good = compressor(with_machine(full, "10 psi", "4 cfm"))
    # air at 1,150 ft has 0.959 of the pressure at sea level (US Standard Atmosphere 1976): 4 cfm becomes 3.8
    assert good[0].startswith("Your machine (mine) will do, because it sends 3.8 cfm") and "Maybe" not in " ".join(good)
    # water of 11.5 ft is 5.0 psi; 7 psi at sea level is 6.7 psi at 1,150 ft, less than 15 % over a gauge past 5.9
    assert "with little room" in compressor(with_machine(full, "7 psi", "4 cfm"))[0]
    # 4 cfm is wanted in 03, and 3 is less than 0.8 of it
    assert "will not do for the air of workbook 03" in compressor(with_machine(full, "10 psi", "3 cfm"))[0]
    assert "Your machine (mine) will not do" in compressor(with_machine(full, "3 psi", "4 cfm"))[0]
    asked = full.with_section("line", {**full.sections["line"], "flow_free_air": Q("4 cfm")}, "04")
    assert "4.0 cfm" in compressor(asked)[0] and "holds no machine" in compressor(asked)[0]
    assert not any("machine of" in words or "Your machine" in words for words in compressor(record.demo()))


def test_a_machine_of_one_point_is_judged_by_that_point(full):
    def words(pressure, flow, highest=None):
        line = {**full.sections["line"], "flow_free_air": Q("4 cfm"), "submergence": Q("11.5 ft"),
                "curve_pressure": [Q(pressure)], "curve_flow": [Q(flow)]} | ({"highest": Q(highest)} if highest else {})
        whole = planparts.whole_plan(full.with_section("line", line, "04"))
        return next(part.words for part in whole.parts if part.title == "Compressor")[0]
    assert words("10 psi", "4 cfm").startswith("Your machine will do, if the one point in workbook 04 is true")
    assert "little room" in words("6.9 psi", "4 cfm") and "little room" not in words("10 psi", "4 cfm")
    # 4 cfm is wanted; 3 cfm of thinner air is less than 0.8 of it
    assert "4.0 cfm (110 L/min) is wanted: ask for its curve" in words("10 psi", "3 cfm")
    assert "Cannot reach the diffuser" in words("4 psi", "4 cfm", "4.5 psi")
    assert "does not say whether" in words("4 psi", "4 cfm") and "will do," not in words("4 psi", "4 cfm")


def test_other_air_in_03_than_04_sends_is_to_be_mended_before_the_first_start(full):
    pond = scheduled(with_machine(full, flow="7.2 cfm"))
    stamps = {name: {"saved": f"2026-05-01T0{n}:00:00+00:00", "by": "x"}
              for n, name in enumerate(("site", "water", "oxygen", "air", "line", "layers", "power", "year"))}
    whole = planparts.whole_plan(dataclasses.replace(pond, stamps=stamps))
    page = planparts.sheet_html(whole)
    for text in (page, planparts.say_whole(whole)):                 # 7.2 / 4
        assert "1.8 times the air that workbook 03 was worked out for" in text and "do 07 again" in text
        assert "Follow the first-start schedule" not in text and "schedule below is out of date" in text
    assert "07, OLD" in page and page.count("should be done again first") == 0


class Page(html.parser.HTMLParser):
    """Tags, attributes and text of a page."""

    def __init__(self, text):
        super().__init__()
        self.tags, self.links, self.words = [], [], []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.links += [value for name, value in attrs if name in ("src", "href", "srcset", "action", "data")]

    def handle_data(self, data):
        self.words.append(data)


def test_the_sheet_needs_nothing_from_outside(full):
    text = planparts.sheet_html(planparts.whole_plan(full))
    page = Page(text)
    assert page.links == [] and not {"script", "img", "link", "iframe", "object"} & set(page.tags)
    assert "://" not in text and "@import" not in text and "url(" not in text
    words = " ".join(page.words)
    for must in ("To buy, in general terms", "Cautions", "Licensed electrician", "Date, signature:", "DO NOT SWITCH ON",
                 "Measure first", "One diffuser more", "First costs", "Offer 3", "Workbook",
                 "310 ft (94 m)", "0.8 in (20.3 mm)".replace("0.8 ", "0.800 ")):
        assert must in words, must
    assert len(re.findall(r"Name:", words)) == len(planparts.SIGN_OFF)


def test_what_people_type_is_escaped(full):
    bad = "<script>alert(1)</script><img src=x onerror=y>\"'&"
    pond = dataclasses.replace(full, name=bad).with_section("layers", {"kind": "mixed", "read_on": bad})
    pond = pond.with_section("air", {"diffuser": bad, "submergence": Q("11 ft"), "diffusers": Q(1.0, "dimensionless")})
    pond = pond.with_section("year", {"start_hours": [Q("1 h")], "start_rule": bad, "winter": bad, "air_from": bad})
    text = planparts.sheet_html(planparts.whole_plan(pond), owner=bad, remarks=bad)
    page = Page(text)
    assert not {"script", "img"} & set(page.tags) and "<script" not in text
    assert sum(bad in words for words in page.words) >= 3, "shown as it was typed"


def test_us_units_come_first_with_metric_in_brackets(full):
    text = planparts.sheet_html(planparts.whole_plan(full), today=datetime.date(2026, 5, 1))
    # 14.1 ft is 4.30 m; 7.8 psi is 53.8 kPa
    assert "14 ft (4.3 m)" in text and "7.8 psi (54 kPa)" in text and "2026-05-01" in text


def test_the_form_writes_beside_the_record_and_leaves_nothing_half_done(full, tmp_path):
    path = tmp_path / "my-pond.json"
    record.save(full, path)
    form = your_plan.PlanSheet(full, path)
    form.owner.value = "A & B"
    said = form.write()
    sheet = tmp_path / "my-pond-plan.html"
    assert "Written: my-pond-plan.html" in said and "DO NOT SWITCH ON" in said and "Print" in said
    assert "A &amp; B" in sheet.read_text(encoding="utf-8")
    record.save(dataclasses.replace(full, name="South"), path)
    form.write()
    assert "Aeration plan: South" in sheet.read_text(encoding="utf-8"), "the record as it stands, not as it was"
    assert not list(tmp_path.glob("*.new"))


def test_the_form_says_example_while_there_is_no_water(tmp_path):
    path = tmp_path / "my-pond.json"
    record.save(record.PondRecord("Mine").with_section("site", {"price": Q("12 cents/kWh")}), path)
    pond, words = your_plan.open_pond(path)
    assert words.startswith("EXAMPLE, not a plan: your pond Mine has no “water” yet")
    assert "workbook 01" in words and pond.invented
    said = your_plan.PlanSheet(pond, path).write()
    assert "an EXAMPLE, not a plan" in said and "Do workbook 01" in said
    assert "class='example'" in (tmp_path / "my-pond-plan.html").read_text(encoding="utf-8")


def test_without_a_browser_it_says_how_to_print(full, tmp_path, monkeypatch):
    monkeypatch.setattr(planparts.shutil, "which", lambda name: None)
    record.save(full, tmp_path / "p.json")
    made, words = planparts.to_pdf(planparts.write_sheet(planparts.whole_plan(full), tmp_path / "p.json"))
    assert made is None and "Ctrl+P" in words
    made, words = planparts.to_pdf(tmp_path / "p-plan.html", browser=tmp_path / "none")
    assert made is None and "did not print" in words and not list(tmp_path.glob("*.pdf"))


def test_a_pdf_that_cannot_be_put_in_place_is_said(full, tmp_path, monkeypatch):
    sheet = planparts.write_sheet(planparts.whole_plan(full), tmp_path / "p.json")

    def prints(order, **_):
        wanted = next(part for part in order if part.startswith("--print-to-pdf="))
        Path(wanted.partition("=")[2]).write_bytes(b"%PDF-1")

    def busy(*_, **__):
        raise OSError(39, "Directory not empty")
    monkeypatch.setattr(planparts.subprocess, "run", prints)
    with monkeypatch.context() as patched:          # a browser that still writes while its folder is cleared away
        patched.setattr(os, "rmdir", busy)
        made, _ = planparts.to_pdf(sheet, browser="some browser")
    assert made.read_bytes() == b"%PDF-1"

    def held(*_):
        raise PermissionError(13, "Permission denied")
    monkeypatch.setattr(os, "replace", held)        # the old PDF is open in another program
    made, words = planparts.to_pdf(sheet, browser="some browser")
    assert made is None and "p-plan.pdf could not be written" in words and "close it" in words
    assert not list(tmp_path.glob("*.new"))


def pages(pdf):
    return len(re.findall(rb"/Type\s*/Page\b", pdf.read_bytes()))


@pytest.mark.browser
@pytest.mark.skipif(planparts.find_browser() is None, reason="no browser here that prints by itself")
def test_the_pdf_has_three_pages_at_most_and_one_for_gasping_fish(full, tmp_path):
    stamps = {name: {"saved": f"2020-01-0{n}T00:00:00+00:00", "by": "x"} for n, name in enumerate(
        ("year", "power", "layers", "line", "air", "oxygen", "water", "site"), 1)}
    doubtful = dataclasses.replace(scheduled(with_machine(full)), stamps=stamps)      # the longest page there is
    assert len(staleness.stale(doubtful)) == 6
    for name, pond in (("my-pond", full), ("old", doubtful), ("example", record.demo())):
        sheet = planparts.write_sheet(planparts.whole_plan(pond), tmp_path / f"{name}.json")
        made, words = planparts.to_pdf(sheet)
        assert made.read_bytes().startswith(b"%PDF-") and made.name == f"{name}-plan.pdf" and made.name in words
        text = sheet.read_text(encoding="utf-8")
        alone = tmp_path / f"{name}-alone.html"
        alone.write_text(text.replace(fishlimits.body_html(), ""), encoding="utf-8")
        plan_alone = pages(planparts.to_pdf(alone)[0])
        assert 1 <= plan_alone <= 3 and pages(made) == plan_alone + 1, name


def test_gasping_fish_have_a_page_that_is_no_example(full):
    for pond in (full, record.demo()):
        text = planparts.sheet_html(planparts.whole_plan(pond))
        assert text.count(fishlimits.body_html()) == 1 and text.index("Checked by") < text.index(fishlimits.TITLE)
    rule = re.search(r"\.tonight \{.*?\}", fishlimits.STYLE, re.S)[0]
    mark = int(re.search(r"z-index: (\d+)", re.search(r"\.example::before \{.*?\}", text, re.S)[0])[1])
    assert int(re.search(r"z-index: (\d+)", rule)[1]) > mark and "background: #fff" in rule


@pytest.mark.parametrize("saved", [False, True])
def test_air_by_bubbles_alone_is_need_over_what_each_cfm_gives(saved):
    pond = record.demo()
    if saved:
        pond = pond.with_section("air", findings.air(findings.setting(pond), 3.66, 1.0, 1.4e-3, 3, "membrane"))
    whole = planparts.whole_plan(pond)
    lines = {line.words: line.value for part in whole.parts for line in part.lines}
    gives = next(value for words, value in lines.items() if words.startswith("Oxygen out of the bubbles"))
    air = lines["Air wanted, all together" if saved else "A generic compressor would send"]
    flow, need = air.usual.m_as("m^3/s") if saved else air, whole.plan.budget.delivery.high
    # proportion by hand: the worst night with the poorest bubbles
    hand = need / gives.low * flow
    assert lines["Air, if bubbles alone did it"].high == pytest.approx(hand, rel=1e-6) and hand > 100 * 4.72e-4


def owner(air="1.4 cfm", **more):
    """An owner of a small pond who planned a little air, knows a thin line and has bought no machine."""
    area = Range(*(Q(v, "acre").m_as("m^2") for v in (1.0, 1.1, 1.2)))
    pond = record.PondRecord("Back pond").with_section("site", {"elevation": Q("780 ft"), "price": Q("16.5 cents/kWh")})
    pond = pond.with_section("water", findings.water_by_hand(area, Q("13 ft").m_as("m")))
    line = {"length": Q("430 ft"), "inside_diameter": Q("0.478 in"), "submergence": Q("11 ft"),
            "flow_free_air": Q(air), "pressure_gauge": span(6.4, 6.6, 6.8, "psi")}
    pond = pond.with_section("line", line)
    return pond.with_section("power", {"power": span(66, 99, 200, "W"), "found": "before buying"} | more)


@pytest.mark.parametrize("air", ["0.6 cfm", "1.4 cfm", "9 cfm"])
def test_a_machine_not_bought_yet_is_the_one_that_sends_the_air_planned(air):
    whole = planparts.whole_plan(owner(air))
    sent = lines(whole)["A generic compressor would send"].value
    assert sent == pytest.approx(Q(air).m_as("m^3/s"), rel=0.01)
    # one pressure to ask for: that of the machine and that of the list to buy from, while the line is kept
    asked = tobuy.asked_of_machine(whole)
    if not whole.size.better:
        assert whole.plan.pressure.total == pytest.approx(asked[1], rel=0.01)
    assert "Power, before buying" in lines(whole) and "Power, from plate or meter" not in lines(whole)


@pytest.mark.parametrize("watts", [2, 40, 4000])
def test_watts_that_no_machine_can_have_still_leave_a_plan(watts):
    whole = planparts.whole_plan(owner(power=span(watts, watts, watts, "W")))
    assert "Compressor" in planparts.sheet_html(whole) and whole.size.cost > 0


def test_one_need_in_the_verdict_and_in_the_parts(full):
    told = dict(full.sections["oxygen"]) | {"need": span(1.1, 1.3, 1.6, "lb/h")}
    whole = planparts.whole_plan(full.with_section("oxygen", told))
    said = lines(whole)["Oxygen the air must deliver"]
    # rounded outward by hand to one digit
    assert said.value.startswith("about 1 to 2 lb/h (about 0.4 to 0.8 kg/h)")
    assert "needed about 1 to 2 lb/h [02]" in " ".join(whole.verdict.reasons)


@pytest.mark.parametrize("system", ["US", "metric"])
def test_one_number_looks_the_same_all_over_a_plan(full, system):
    for pond in (record.demo(), full):
        whole = planparts.whole_plan(pond, system)
        text = planparts.say_whole(whole, system)
        need, = set(re.findall(r"(?:Oxygen the air must deliver: |bad night: needed )(.*?)(?= \[| \(|   \[)", text))
        assert need and need.endswith(" lb/h" if system == "US" else " kg/h")
        bore = set(re.findall(r"(?:inside diameter(?: of the line)?:?|Bore of the line: A) ([\d.]+ \w+)", text))
        assert len(bore) == 1
        floor = set(re.findall(r"(?i)(?:oxygen to keep:?|oxygen falls below) ([\d.]+ mg/L)", text))
        assert floor == {"4.0 mg/L"}
        page = planparts.sheet_html(whole)
        if system == "US":
            assert set(re.findall(r"inside diameter(?:</th><td>| of the line | )([\d.]+ in)", page)) == bore


def test_each_reader_sees_the_own_units_first_and_paper_keeps_to_what_its_head_says(full):
    """On the screen a metric reader's come first; the sheet says that US units do, and so they do."""
    pond = full.with_section("power", {"run_length": Q("150 ft"), "voltage_drop": Q("2 %")})
    pond = pond.with_section("layers", {"surface_temperature": Q("80 F"), "bottom_temperature": Q("60 F")})
    words = planparts.say_whole(planparts.whole_plan(pond, "metric"), "metric")
    assert "46 m (150 ft) of wire" in words and "27 °C (80 °F); 16 °C (60 °F)" in words
    assert "0.6 m (2 ft) off" in words and "2 ft (0.6 m) off" not in words
    paper = planparts.sheet_html(planparts.whole_plan(pond), today=datetime.date(2026, 7, 1))
    with reading("metric"):
        assert planparts.sheet_html(planparts.whole_plan(pond), today=datetime.date(2026, 7, 1)) == paper


def with_second(pond):
    """The same record with a second deep place behind a sill, as form 01 keeps it."""
    return pond.with_section("water", dict(pond.sections["water"]) | {
        "second_deepest": Q("11 ft"), "sill": Q("6 ft"), "behind_sill": Q("1.5 acre_foot")}, "01",
        datetime.datetime(2026, 1, 1, tzinfo=datetime.UTC))


def test_a_second_deep_place_is_told_in_plan_and_on_paper(full):
    assert "econd deep place" not in planparts.say_whole(planparts.whole_plan(full))
    whole = planparts.whole_plan(with_second(full))
    assert lines(whole)["Second deep place, behind a sill"].value == Q("11 ft")
    sheet = planparts.sheet_html(whole)
    for text in (planparts.say_whole(whole), sheet):
        assert "stays stagnant unless it gets a diffuser of its own, so count two diffusers at least" in text
        assert "needs a first start of its own" in text and "at least one in each deep place" in text
        assert "one more than this plan has" not in text
    assert "11 ft (3.4 m)" in sheet
    lone = with_second(full).with_section("air", dict(full.sections["air"]) | {"diffusers": Q(1.0, "dimensionless")})
    assert "one more than this plan has" in planparts.say_whole(planparts.whole_plan(lone))


def test_a_pond_read_as_mixed_is_held_where_a_second_place_was_not_read(full):
    mixed = full.with_section("layers", {"kind": "mixed"})
    assert planparts.hold(mixed) == "" and planparts.hold(with_second(mixed)).startswith("SECOND DEEP PLACE")


def test_a_plan_without_a_choice_of_air_counts_a_diffuser_for_each_deep_place():
    small = {"area": span(0.3, 0.3, 0.3, "acre"), "volume": span(1.2, 1.3, 1.4, "acre_foot")}
    pond = dataclasses.replace(record.demo(), invented=False, name="North")
    pond = pond.with_section("water", dict(pond.sections["water"]) | small)
    one, two = (planparts.whole_plan(each) for each in (pond, with_second(pond)))
    # a third of an acre is one acre begun, and one plume of some cfm lifts so little water in far less than a day
    assert one.plan.choices.diffusers == 1 and two.plan.choices.diffusers == 2 and min(two.count.number) == 2
