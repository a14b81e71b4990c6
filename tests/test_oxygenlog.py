"""Logs as people save them."""

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from pondcalc import datafiles, textfiles
from pondcalc.how_much_oxygen import oxygenlog


def test_hand_readings_run_past_midnight():
    log = oxygenlog.hand_log([("7:00 PM", "10.2 mg/L", "80 °F"), ("10 pm", "8.7"), ("06:00", "5.1 ppm", "78 °F")])
    assert list(log.hours) == [0, 3, 11] and list(log.clock) == [19, 22, 6]
    assert log.temperature[0] == pytest.approx(26.667, abs=1e-3) and np.isnan(log.temperature[1])


@pytest.mark.parametrize("text", [
    "time,oxygen_mg_L,temperature_F\n2025-07-14 19:00,10.2,80.6\n2025-07-14 22:00,8.7,80.6\n",
    "Date;Time;Temp C;DO mg/L\n14.07.2025;19:00;27,0;10,2\n14.07.2025;22:00;27,0;8,7\n",
    "# my pond\nDate\tTime\tD.O. (ppm)\tTemp (degF)\n7/14/2025\t7:00 PM\t10.2\t80.6\n7/14/2025\t10:00 "
    "PM\t8.7\t80.6\n",
    'timestamp,"dissolved oxygen, mg/L",temperature [°C],depth_ft\n2025-07-14T19:00:00,10.2,27,3\n'
    '2025-07-14T22:00:00,8.7,27,3\n'])
def test_tables_as_people_save_them(text):
    log = oxygenlog.read_log(text)
    assert list(log.hours) == [0, 3] and list(log.clock) == [19, 22]
    assert list(log.dissolved_oxygen) == pytest.approx([10.2, 8.7])
    assert list(log.temperature) == pytest.approx([27.0, 27.0]) and not log.dropped


def test_bad_rows_are_listed_with_the_reason():
    log = oxygenlog.read_log("time,oxygen mg/L,temp F\n2025-07-14 "
                             "19:00,10.2,80\nyesterday,9,80\n2025-07-14 21:00,,80\n"
                             "2025-07-14 22:00,87,80\n2025-07-14 20:00,9.9,80\n2025-07-14 23:00,8.1,801\n")
    assert len(log.hours) == 2 and [row.row for row in log.dropped] == [3, 4, 5, 7]
    assert "time" in log.dropped[0].reason and "no oxygen" in log.dropped[1].reason
    assert "outside" in log.dropped[2].reason and "temperature" in log.dropped[3].reason


def test_rows_out_of_order_are_sorted_and_said():
    log = oxygenlog.read_log("time,DO\n2025-07-14 22:00,8\n2025-07-14 20:00,9\n")
    assert list(log.dissolved_oxygen) == [9, 8] and "sorted" in log.notes[0]


@pytest.mark.parametrize("text, says", [
    ("", "is empty"), ("time,oxygen\n", "no rows below"), ("a,b\n1,2\n", "no column is headed time"),
    ("time,DO % sat\n2025-07-14 20:00,90\n", "percent"),
    ("time,DO,temp\n2025-07-14 20:00,9,80\n", "no unit this set knows.*temperature .F.' or"),
    ("time,DO\nnoon,9\n", "no usable")])
def test_useless_files_are_refused(text, says):
    with pytest.raises(textfiles.FieldDataError, match=says):
        oxygenlog.read_log(text)


def test_unit_of_temperature_can_be_told():
    text = "time,DO,temp\n2025-07-14 20:00,9,25\n"
    assert oxygenlog.read_log(text, "C").temperature[0] == pytest.approx(25)
    warm = oxygenlog.read_log("time,DO,temp\n2025-07-14 20:00,9,77\n", "F")
    assert warm.temperature[0] == pytest.approx(25)
    with pytest.raises(textfiles.FieldDataError, match="outside"):       # 25 F water is ice
        oxygenlog.read_log(text, "F")


def test_nights_part_at_noon():
    log = oxygenlog.read_log("time,DO\n" + "".join(f"2025-07-{14 + h // 24} {h % 24:02d}:00,{9 - h / 10}\n"
                                                    for h in range(12, 60)))
    found = oxygenlog.nights(log)
    assert len(found) == 2 and all(len(rows) == 11 for rows in found)      # 20:00 to 06:00 each
    assert list(log.clock[found[0]][[0, -1]]) == [20, 6]
    with pytest.raises(ValueError, match="dusk"):
        oxygenlog.nights(log, 8.0, 6.0)


def test_demonstration_log_is_made_by_its_script(tmp_path):
    kept = datafiles.path("demo-oxygen-log.csv")
    script = datafiles.path("make_oxygen_log.py")
    (tmp_path / script.name).write_bytes(Path(script).read_bytes())
    subprocess.run([sys.executable, str(tmp_path / script.name)], check=True)
    assert (tmp_path / kept.name).read_bytes() == kept.read_bytes()
    assert "INVENTED" in kept.read_text(encoding="utf-8").splitlines()[0]
    log = oxygenlog.read_log(kept)
    assert len(log.dropped) == 2 and len(log.hours) == 173
