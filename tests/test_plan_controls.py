"""Explorers of workbook 08: what they show of the reader's own line, machine and need."""



from pondcalc import record
from pondcalc.controls import your_plan
from pondcalc.units import Q, Range, show
from pondcalc.your_plan import plan


def test_all_start_from_the_readers_own_line_and_machine():
    pond = record.demo().with_section("line", {
        "length": Q("300 ft"), "inside_diameter": Q("0.5 in"), "submergence": Q("9 ft"), "compressor": "typed",
        "curve_pressure": [Q(f"{p} psi") for p in (5, 10, 15)],
        "curve_flow": [Q(f"{q} cfm") for q in (2.4, 2.0, 1.6)]})
    pond = pond.with_section("power", {"power": Range(Q("114 W"), Q("120 W"), Q("126 W"))})
    made = plan.first_plan(plan.choices_from(pond))
    air = show(Q(made.point.flow_free_air, "m3/s"), "air flow", digits=2)
    first = your_plan.operating_point(pond)
    assert first._alt.startswith("Where compressor and pond agree. Your compressor sends") and air in first._alt
    assert "110 to 130 W (from the watts you saved)" in first._alt
    both = your_plan.two_plans(pond)
    assert f"air that arrives {air} in both" in both._alt and "power 110 to 130 W in both" in both._alt
    both.set_texts({"size": "0.5"})
    assert f"air that arrives {air}" not in both._alt
    both.set_texts({"size": "1"})
    assert f"air that arrives {air} in both" in both._alt, "one step away and back again"
    first.set_texts({"machine": list(your_plan.GENERIC)[-1]})
    assert "Your compressor" not in first._alt
    first.set_texts({"machine": next(iter(your_plan.GENERIC))})
    assert "the plan below takes the watts you saved" in first._alt


def test_a_delivery_saved_without_a_need_is_what_to_size_for():
    ends = {"delivery": Range(*(Q(f"{v} lb/h") for v in (1, 2, 3))),
            "dawn": Range(*(Q(f"{v} mg/L") for v in (1, 2, 3)))}
    said = your_plan.night(record.demo().with_section("oxygen", ends))._alt
    assert "found 1.0 to 3.0 mg/L at dawn; about 1 to 3 lb/h keeps 95 of 100" in said
