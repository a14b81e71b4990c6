"""A row added to a table of ``data/`` is in every list, form and picture by itself."""

import shutil
from html import unescape
from pathlib import Path

import pytest

from pondcalc import datafiles, record
from pondcalc.back_pressure import lineplan, pipesizes
from pondcalc.controls import back_pressure, your_plan
from pondcalc.door import compressor, lifecost
from pondcalc.units import INCH, PSI, Q
from pondcalc.your_plan import plan, planparts

PIPE, SOLD_AS = "bamboo tube by inside diameter", "bamboo cane, joints bored out"
MACHINE = "bellows pump"
# INVENTED, thrown away after each test: a narrower 3/4 in than any in the table, and a machine for 12 psi
ROWS = {"pipe-families.csv": f'{PIPE},"{SOLD_AS}",yes,cane;bored cane',
        "pipe-sizes.csv": f"{PIPE},3/4,1.500,0.600,nominal,none,common practice,invented",
        "compressor-families.csv": f"{MACHINE},1,12,1,20,0.5,9,leather,1,2,0.4,invented for a test,common practice"}


@pytest.fixture
def added(monkeypatch, tmp_path):
    """The data files with `ROWS` at their ends."""
    folder = tmp_path / "data"
    shutil.copytree(Path(datafiles.path("pipe-sizes.csv")).parent, folder)
    for name, row in ROWS.items():
        with open(folder / name, "a", encoding="utf-8") as file:
            file.write(row + "\n")
    monkeypatch.setattr(datafiles, "FOLDERS", (folder,))
    datafiles.read_table.cache_clear()
    yield
    datafiles.read_table.cache_clear()


def choices(explorer, name):
    return list(next(control for control in explorer._controls if control.name == name).options)


def test_every_family_of_the_sizes_is_one_that_people_meet():
    assert {family.name for family in pipesizes.families_as_sold()} == set(pipesizes.pipe_families())


def test_what_is_thrown_away_is_gone():
    assert PIPE not in pipesizes.pipe_families() and MACHINE not in compressor.family_names()


def test_a_pipe_family_is_found_by_every_name_it_goes_by(added):
    assert PIPE in pipesizes.pipe_families() and lineplan.kinds_of_line()[SOLD_AS] == PIPE
    for said in (PIPE, SOLD_AS, "cane", "bored cane", "bamboo"):
        assert lineplan.family_of(said) == PIPE
    run, = lineplan.read_segments("250 ft, 3/4 in, bored cane")
    assert run.inside_diameter == pytest.approx(0.600 * INCH)
    with pytest.raises(ValueError, match=SOLD_AS):
        lineplan.family_of("glass")


def test_a_pipe_family_is_in_the_form_and_widens_what_a_line_of_no_known_kind_may_be(added):
    form = back_pressure.OwnLine(record.demo())
    assert SOLD_AS in form.kind.options
    form.size.value, form.kind.value = "3/4 in cane", back_pressure.UNSURE
    form._take_kind()
    assert (form.size.value, form.kind.value) == ("3/4 in", SOLD_AS)
    assert form._bores(Q("3/4 in"))[0] == pytest.approx([0.600 * INCH])
    form.kind.value = back_pressure.UNSURE
    assert form._bores(Q("3/4 in"))[0][0] == pytest.approx(0.600 * INCH)


def test_metal_is_left_out_where_the_kind_is_not_known():
    form = back_pressure.OwnLine(record.demo())
    form.size.value, form.kind.value = "3/4 in", back_pressure.UNSURE
    bores = form._bores(Q("3/4 in"))[0]
    # the plastic ends of 3/4 in: copper-tube-size polyethylene, ASTM D2737 (OD 0.875 in less 2.12/9 of it), and SDR 11
    assert bores == pytest.approx([0.669 * INCH, 0.848 * INCH], abs=0.001 * INCH)
    form.size.value = "1/8 in"
    with pytest.raises(ValueError, match="no plastic line has the size"):
        form._bores(Q("1/8 in"))         # steel alone is sold so small


def test_a_pipe_family_is_in_the_picture_with_its_bar_and_its_words(added):
    explorer = back_pressure.which_size(record.demo())
    drawn = unescape(explorer._svg)
    assert "bamboo" in drawn and "tube by inside diameter" in drawn
    assert f"The narrowest ({PIPE})" in explorer._alt


def test_one_bar_a_family_stands_inside_the_picture(monkeypatch, added):
    from pondcalc.figures import back_pressure as draw
    from pondcalc.figures import style
    sizes = pipesizes.same_name("3/4 in")
    many = type("Result", (), {"names": [size.family for size in sizes] * 2, "nominal": "3/4 in",
                               "bores": [size.inside_diameter for size in sizes] * 2, "losses": [1e4] * len(sizes) * 2,
                               "ratios": [2.0] * len(sizes) * 2})
    kept = []
    monkeypatch.setattr(style, "axes", lambda *a, _axes=style.axes, **k: kept.append(_axes(*a, **k)) or kept[-1])
    style.render(draw.one_name, many, "US", size=(style.WIDTH, style.HEIGHT))
    assert all(low > 2 * len(sizes) - 1 for low, _ in (ax.get_ylim() for ax in kept))


def test_a_kind_of_compressor_is_in_every_list(added):
    assert MACHINE in compressor.family_names()
    assert MACHINE.capitalize() in choices(back_pressure.CompressorOnLine(record.demo()).explorer, "machine")
    assert f"A generic {MACHINE} machine" in choices(your_plan.two_plans(record.demo()), "change")


def test_a_kind_of_compressor_runs_where_it_is_chosen(added):
    explorer = back_pressure.CompressorOnLine(record.demo()).explorer
    explorer.set_texts({"machine": MACHINE.capitalize(), "submergence": "6 ft"})
    assert "it sends" in explorer._alt and "<svg" in explorer._svg
    start = plan.choices_from(record.demo())
    first, second = plan.changed_plan(start, f"A generic {MACHINE} machine")
    assert second.plan.choices.curve.pressure_gauge[-1] == pytest.approx(12 * PSI) and second.name != first.name


def test_a_kind_of_compressor_is_told_as_fitting_in_form_and_plan(added):
    fits = [item.family.name for item in compressor.suitable_families("9 ft", "7 psi", "4 cfm") if item.fits == "yes"]
    assert MACHINE in fits
    form = back_pressure.OwnLine(record.demo())
    words = form._kinds(form._own()[0])[0]
    shallow = plan.changed(plan.choices_from(record.demo()), deepest=3.0)
    sheet = planparts._machine(record.demo(), plan.first_plan(shallow), "US", "")
    assert MACHINE in words and MACHINE in str(sheet)


def test_an_offer_of_the_kind_is_priced(added):
    one = lifecost.read_offers()[0]._replace(name="bellows", family=MACHINE)
    cost, = lifecost.offer_costs([one], "9 ft", "2 cfm", "$0.17/kWh", "10 yr")
    assert cost.fits in ("yes", "maybe") and cost.total.usual > one.price
