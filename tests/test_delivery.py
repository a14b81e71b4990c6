"""Two duties of bottom aeration: arithmetic, a differential equation, and the rule by area."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from pondcalc.how_much_oxygen import delivery
from pondcalc.units import Q, Range

NIGHT = dict(volume=9868.0, area=4047.0, demand=1.2e-3, night_length=43200.0, dusk=7.0, saturation=8.26,
             exchange_speed=3e-6, air_per_diffuser=4.72e-4, oxygen_per_air=0.04)


def test_turnover_arithmetic():
    # 20 and 8 acre-ft once a day: 0.2855 and 0.1142 m3/s, 4526 and 1810 gpm (arithmetic)
    assert delivery.mixing_flow("20 acre-ft").m_as("m^3/s") == pytest.approx(0.2855, abs=1e-4)
    assert delivery.mixing_flow("8 acre-ft").m_as("gpm") == pytest.approx(1810, abs=1)
    three = delivery.mixing_flow("8 acre-ft", Range(0.5, 1.0, 2.0))
    assert three.high / three.low == pytest.approx(4)


def test_diffusers_by_hand():
    # 1 kg/h wanted, 1 cfm each (1.699 m3/h), 0.03 kg/m3 given up in the pond:
    # 0.05097 kg/h each, so 19.6: 20 of them; 0.1142 m3/s to lift at 0.05 m3/s each: 3
    need = delivery.diffusers_needed("1 kg/h", "0.1142 m3/s", "1 cfm", Q(0.03, "kg/m3"), "0.05 m3/s", "1 acre")
    assert need.for_oxygen.usual == 20 and need.for_mixing.usual == 3 and need.diffusers.usual == 20
    assert need.flow_free_air.usual.m_as("cfm") == pytest.approx(20)
    # Nebraska Pond Management, 2nd ed., p. 87: 1.3 cfm an acre (seen)
    assert need.by_area.m_as("cfm") == pytest.approx(1.3)


def test_mixing_decides_on_an_easy_night():
    need = delivery.diffusers_needed.si(Range(0.0, 1e-5, 5e-4), 0.1142, 4.72e-4, Range(0.03, 0.045, 0.06),
                                        Range(0.05, 0.1, 0.2), 4047.0)
    assert need.for_oxygen.low == 0 and need.diffusers.low == need.for_mixing.low == 1
    assert need.diffusers.high == need.for_oxygen.high > need.for_mixing.high
    assert need.diffusers.low <= need.diffusers.usual <= need.diffusers.high


@pytest.mark.parametrize("given, ceiling", [({}, 8.26), ({"bubble_saturation": 9.9}, 9.9)])
def test_more_diffusers_is_the_differential_equation(given, ceiling):
    # the open top pulls toward what it holds at rest, 8.26 mg/L; bubbles under pressure give up to their own ceiling
    got = delivery.more_diffusers.si(**NIGHT, **given)
    for n in (0, 3, 10):
        def slope(t, c, n=n):
            return (3e-6 * 4047 * (8.26 - c) + n * 4.72e-4 * 40 * (1 - c / ceiling) - 1.2) / 9868
        run = solve_ivp(slope, (0, 43200), [7.0], rtol=1e-10, atol=1e-12)
        assert got.dawn[n] == pytest.approx(run.y[0, -1], rel=1e-8)


def test_each_one_more_adds_less_and_none_passes_the_ceiling():
    got = delivery.more_diffusers.si(**{**NIGHT, "most": 400})
    assert got.gain[0] > 0 and np.all(np.diff(got.gain) < 0) and got.dawn.max() < 8.26
    assert got.enough is not None and got.gain[got.enough] < got.gain[0] / 2 <= got.gain[got.enough - 1]
    richer = delivery.more_diffusers.si(**{**NIGHT, "bubble_saturation": 9.9})
    assert richer.dawn[-1] > delivery.more_diffusers.si(**NIGHT).dawn[-1]


def test_each_number_of_diffusers_may_open_the_surface_its_own_way():
    open_top = np.linspace(0, 6e-6, 4)
    got = delivery.more_diffusers.si(**{**NIGHT, "exchange_speed": open_top, "most": 3})
    for n in range(4):
        alone = delivery.more_diffusers.si(**{**NIGHT, "exchange_speed": open_top[n], "most": 3})
        assert got.dawn[n] == pytest.approx(alone.dawn[n], rel=1e-12)


def test_none_help_a_pond_that_is_full():
    full = delivery.more_diffusers.si(**{**NIGHT, "demand": 0.0, "dusk": 8.26})
    assert full.enough == 0 and np.allclose(full.dawn, 8.26)
    assert delivery.more_diffusers.si(**{**NIGHT, "demand": 0.0, "exchange_speed": 0.0}).dawn[0] == pytest.approx(7.0)
    assert delivery.more_diffusers.si(**{**NIGHT, "demand": 0.01}).dawn[0] == 0
    assert delivery.more_diffusers.si(**{**NIGHT, "most": 2}).enough is None, "the last one tried still helps"


@pytest.mark.parametrize("call, says", [
    (lambda: delivery.mixing_flow("0 m3"), "volume"),
    (lambda: delivery.diffusers_needed.si(1e-4, 0.1, 4.7e-4, 0.4, 0.05, 4047.0), "more oxygen than the air holds"),
    (lambda: delivery.diffusers_needed.si(-1e-4, 0.1, 4.7e-4, 0.04, 0.05, 4047.0), "delivery"),
    (lambda: delivery.more_diffusers.si(**{**NIGHT, "saturation": 0.0}), "saturation")])
def test_impossible_input_is_refused(call, says):
    with pytest.raises(ValueError, match=says):
        call()
