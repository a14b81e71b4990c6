"""The pond record: nothing the reader wrote is lost."""

import concurrent.futures
import json
import multiprocessing
import os
import time
from unittest import mock

import pytest

from pondcalc import record
from pondcalc.record import PondRecord, RecordError
from pondcalc.units import Q, Range


def acre_feet(low, usual, high):
    return Range(*(Q(float(v), "acre_foot") for v in (low, usual, high)))


@pytest.fixture
def pond():
    return (PondRecord("Test pond", "metric").with_section("site", {"elevation": Q("900 ft"), "story": "a, b"})
            .with_section("water", {"volume": acre_feet(11, 12.4, 14), "level_depth": [Q("0 ft"), Q("9.5 ft")],
                                    "level_area": [Q("2 acre"), Q("0 acre")],
                                    "level_volume": [Q("12 acre_foot"), Q("0 acre_foot")]}, "01"))


def test_a_record_survives_the_round_trip(pond, tmp_path):
    path = record.save(pond, tmp_path / "pond.json")
    again = record.load(path)
    assert again.name == "Test pond" and again.system == "metric"
    assert again.get("water", "volume").usual.m_as("acre_foot") == pytest.approx(12.4)
    assert [d.m_as("foot") for d in again.get("water", "level_depth")] == [0, 9.5]
    assert again.get("site", "story") == "a, b" and again.stamps["water"]["by"] == "01"
    assert record.to_text(again) == record.to_text(pond)


def test_quantities_stand_in_the_file_as_people_write_them(pond, tmp_path):
    body = json.loads(record.save(pond, tmp_path / "p.json").read_text())
    assert body["sections"]["water"]["volume"]["usual"] == "12.4 acre_foot"
    assert body["version"] == record.VERSION


def test_the_old_file_is_kept_as_backup(pond, tmp_path):
    path = record.save(pond, tmp_path / "pond.json")
    first = path.read_text()
    record.save_section("site", {"elevation": Q("10 ft")}, path)
    assert (tmp_path / "pond.json.bak").read_text() == first
    assert record.load(path).get("water", "volume") is not None
    assert sorted(p.name for p in tmp_path.iterdir()) == ["pond.json", "pond.json.bak"]


@pytest.mark.parametrize(("damage", "says"), [
    (lambda t: t[:200], "damaged at line"), (lambda t: "", "damaged at line"),
    (lambda t: "[1, 2]", "not a pond record"), (lambda t: '{"a": 1}', "not a pond record")])
def test_a_damaged_record_is_refused_and_left_alone(pond, tmp_path, damage, says):
    path = record.save(pond, tmp_path / "pond.json")
    broken = damage(path.read_text())
    path.write_text(broken)
    with pytest.raises(RecordError, match=says) as caught:
        record.load(path)
    assert "Nothing was changed" in str(caught.value) and ".bak" in str(caught.value)
    with pytest.raises(RecordError):
        record.save_section("site", {"elevation": Q("10 ft")}, path)
    with pytest.raises(RecordError):
        record.rename("Other pond", "US", {}, path)
    assert path.read_text() == broken and not list(tmp_path.glob("*.lock"))


def test_a_binary_file_and_a_missing_file_are_named(tmp_path):
    (tmp_path / "p.json").write_bytes(b"\xff\xfe\x00\x81")
    with pytest.raises(RecordError, match="not a text file"):
        record.load(tmp_path / "p.json")
    with pytest.raises(RecordError, match="no pond record"):
        record.load(tmp_path / "q.json")


def test_a_save_that_fails_half_way_leaves_the_old_file(pond, tmp_path, monkeypatch):
    path = record.save(pond, tmp_path / "pond.json")
    before = path.read_text()

    def full_disk(*_):
        raise OSError("No space left on device")
    monkeypatch.setattr(os, "replace", full_disk)
    with pytest.raises(RecordError, match="No space left.*unchanged"):
        record.save_section("site", {"elevation": Q("10 ft")}, path)
    assert path.read_text() == before
    assert not list(tmp_path.glob("*.new")) and not list(tmp_path.glob("*.lock"))


@pytest.mark.parametrize(("call", "reason"), [("open", "Read-only file system"), ("write", "No space left on device")])
def test_a_place_that_takes_no_file_is_named(pond, tmp_path, monkeypatch, call, reason):
    def refused(*_):
        raise OSError(30, reason)
    monkeypatch.setattr(os, call, refused)
    with pytest.raises(RecordError, match=f"Nothing can be written beside pond.json .{reason}"):
        record.save(pond, tmp_path / "pond.json")
    monkeypatch.undo()
    assert not list(tmp_path.iterdir())


def _save_many(args):
    """Save one section again and again with a rising number; gives how often another writer had put an old one back."""
    path, section, key, count = args
    lost = 0
    for n in range(1, count + 1):
        record.save_section(section, {key: Q(float(n), "ft")}, path)
        lost += record.load(path).get(section, key).m_as("ft") != pytest.approx(n)
    return lost


def _slow_reading():
    """Give others 10 ms to write between a writer's reading and its writing."""
    real = record.load

    def load(path):
        found = real(path)
        time.sleep(0.01)
        return found
    return mock.patch.object(record, "load", load)


def _in_a_program_of_its_own(args):
    with _slow_reading():
        return _save_many(args)


SECTIONS = [("air", "submergence"), ("line", "length"), ("site", "elevation")]


def test_workbooks_saving_at_once_in_two_programs_lose_nothing(pond, tmp_path):
    path = record.save(pond, tmp_path / "pond.json")
    with multiprocessing.get_context("spawn").Pool(2) as pool:
        assert pool.map(_in_a_program_of_its_own, [(path, *place, 20) for place in SECTIONS[:2]]) == [0, 0]
    kept = record.load(path)
    assert kept.has("air") and kept.has("line") and kept.get("water", "volume") == pond.get("water", "volume")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["pond.json", "pond.json.bak"]


def test_threads_of_one_program_saving_at_once_lose_nothing(pond, tmp_path):
    path = record.save(pond, tmp_path / "pond.json")
    with _slow_reading(), concurrent.futures.ThreadPoolExecutor(3) as pool:
        assert list(pool.map(_save_many, [(path, *place, 10) for place in SECTIONS])) == [0, 0, 0]
    assert sorted(p.name for p in tmp_path.iterdir()) == ["pond.json", "pond.json.bak"]


def test_a_lock_taken_over_while_its_holder_slept_is_not_written_past(pond, tmp_path, monkeypatch):
    path = record.save(pond, tmp_path / "pond.json")
    before, real = path.read_text(), record.load

    def slept(at):
        found = real(at)
        (tmp_path / "pond.json.lock").write_text("another holder's mark")
        return found
    monkeypatch.setattr(record, "load", slept)
    with pytest.raises(RecordError, match="saved in the meantime"):
        record.save_section("site", {"elevation": Q("10 ft")}, path)
    assert path.read_text() == before
    assert (tmp_path / "pond.json.lock").exists(), "the lock belongs to the other by now"


def test_a_lock_left_by_a_dead_program_is_removed_and_a_fresh_one_respected(pond, tmp_path, monkeypatch):
    path = record.save(pond, tmp_path / "pond.json")
    lock = tmp_path / "pond.json.lock"
    lock.write_text("")
    os.utime(lock, (time.time() - 300,) * 2)
    record.save_section("site", {"elevation": Q("10 ft")}, path)
    lock.write_text("")
    monkeypatch.setattr(record.Lock.__init__, "__defaults__", (0.05,))
    with pytest.raises(RecordError, match="Another workbook"):
        record.save_section("site", {"elevation": Q("20 ft")}, path)


@pytest.mark.parametrize(("section", "values", "says"), [
    ("water", {"volume": Q("3 acre_foot")}, "low, usual and high"),
    ("water", {"area": acre_feet(1, 2, 3)}, "kind “area”"),
    ("wafer", {"volume": 3}, "no place for"), ("site", {"elevation": 900}, "kind “elevation”"),
    ("site", {"story": 3}, "is text")])
def test_wrong_values_are_refused_by_name(section, values, says):
    with pytest.raises(RecordError, match=says):
        PondRecord("p").with_section(section, values)


def test_a_record_cannot_be_changed_in_place(pond):
    with pytest.raises(TypeError):
        pond.sections["site"]["elevation"] = Q("1 ft")


def test_renaming_keeps_what_was_saved_and_clears_invented(pond, tmp_path):
    path = record.save(pond, tmp_path / "pond.json")
    record.rename("North pond", "US", {"elevation": Q("800 ft")}, path)
    kept = record.load(path)
    assert (kept.name, kept.system, kept.invented) == ("North pond", "US", False)
    assert kept.has("water") and kept.get("site", "story") == "a, b"
