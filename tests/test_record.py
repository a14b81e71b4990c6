"""The pond record: nothing the reader wrote is lost."""

import concurrent.futures
import inspect
import json
import multiprocessing
import os
import re
import time
import warnings
from collections.abc import Mapping
from pathlib import Path
from unittest import mock

import pytest
from controlstour import EXPLORERS, FORMS, explorer_of

from pondcalc import catalogue, record
from pondcalc.controls import your_plan
from pondcalc.controls.pond import open_pond
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


# ---- mended by hand, or written by another version: used as far as it can be, and nothing in it is lost

# written by the forms of this set from an invented pond, and frozen: what stands in people's folders
TODAY = (Path(__file__).parent / "record-version-1.json").read_text(encoding="utf-8")


def edited(section, field, value):
    """Today's file with one value written by hand, as JSON text; without a value the field is taken out."""
    body = json.loads(TODAY)
    if value is None:
        del body["sections"][section][field]
        return json.dumps(body, indent=2, ensure_ascii=False)
    body["sections"][section][field] = "@@"
    return json.dumps(body, indent=2, ensure_ascii=False).replace('"@@"', value)


def test_todays_file_is_read_whole_and_saved_as_it_stands(tmp_path):
    path = tmp_path / "my-pond.json"
    path.write_text(TODAY, encoding="utf-8")
    kept = record.load(path)
    assert kept.notes == () and set(kept.sections) == set(catalogue.SECTIONS)
    assert kept.get("water", "deepest").m_as("ft") == pytest.approx(11.25)
    assert kept.get("line", "curve_flow")[0].m_as("cfm") == pytest.approx(4.3)
    record.save(kept, path)
    assert path.read_text(encoding="utf-8") == TODAY
    record.save_section("site", {"elevation": Q("900 ft")}, path)
    now, then = json.loads(path.read_text()), json.loads(TODAY)
    assert {n: v for n, v in now["sections"].items() if n != "site"} == {
        n: v for n, v in then["sections"].items() if n != "site"}


def test_a_file_of_a_newer_version_is_used_and_what_is_unknown_in_it_kept(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "my-pond.json"
    newer = TODAY.replace('"version": 1,', '"version": 7,\n  "pages": [1, 2.50, {"a":  null}],')
    newer = newer.replace('    "water": {', '    "ducks": {"count": "4", "names": ["Ann",  "Bo"]},\n    "water": {\n'
                          '      "clarity": {"by": "eye"},', 1)
    newer = newer.replace('"low": "1.17 acre",', '"low": "1.17 acre",\n        "likely": "1.25 acre",')
    path.write_text(newer, encoding="utf-8")
    pond, words = open_pond(path=path)
    assert "newer version" in words and "unknown parts are kept" in words and "Now in use: North pasture pond" in words
    assert "ducks" not in words and set(pond.sections) == set(catalogue.SECTIONS)
    record.save_section("power", dict(pond.sections["power"]), path)
    record.rename("North", "metric", {}, path)
    lines = path.read_text(encoding="utf-8").splitlines()
    changed = [line for line in newer.splitlines() if line not in lines]
    assert all(re.search(r'"(name|units|saved|by)"|ducks', line) for line in changed), changed
    text = path.read_text(encoding="utf-8")
    for part in ('"pages": [1, 2.50, {"a":  null}]', '"ducks": {"count": "4", "names": ["Ann",  "Bo"]}',
                 '"clarity": {"by": "eye"}', '"likely": "1.25 acre"', '"version": 7'):
        assert text.count(part) == 1
    assert list(json.loads(text)["sections"])[:3] == ["site", "ducks", "water"], "the order stays"


RANGE = '{{"low": "{}", "usual": "{}", "high": "{}"}}'.format
EDITS = [
    ("water", "level_area", None), ("water", "level_depth", None), ("water", "level_depth", "[]"),
    ("water", "level_depth", '["0 ft", "5 ft"]'), ("water", "level_area", '"1.2 acre"'),
    ("water", "level_area", '["1.2 psi"]'), ("water", "level_volume", "null"), ("water", "level_volume", None),
    ("water", "deepest", '"-14 ft"'),
    ("water", "deepest", '"0 ft"'), ("water", "deepest", "11"), ("water", "deepest", '{"a": {"b": [1, 1e999]}}'),
    ("water", "area", '"1.3 acre"'), ("water", "area", RANGE("3 acre", "2 acre", "1 acre")),
    ("water", "area", RANGE("-1 acre", "1 acre", "2 acre")), ("water", "area", '{"low": "1 acre", "low": "2 acre"}'),
    ("water", "volume", '{"usual": "4 acre_foot"}'), ("water", "volume", RANGE("0 psi", "1 psi", "2 psi")),
    ("water", "mean_depth", "[]"), ("water", "typed", '"area: 1 acre"'), ("water", "typed", "[null, 3]"),
    ("water", "found", "false"), ("site", "elevation", '"12 parsecs"'), ("site", "elevation", '"1e99 ft"'),
    ("site", "price", '"-0.2 dollar/kilowatt_hour"'), ("site", "price", '"cheap"'), ("oxygen", "color", '"some words"'),
    ("oxygen", "mud", '"deep"'), ("oxygen", "temperature", '"300 degF"'), ("oxygen", "fish", '"-5 lb/acre"'),
    ("oxygen", "night", '"99 h"'), ("oxygen", "weed_cover", '"400 %"'), ("oxygen", "delivery", "[1, 2, 3]"),
    ("oxygen", "dawn", '"x"'), ("air", "submergence", '"60 ft"'), ("air", "diffusers", '"many"'),
    ("air", "diffusers", '"-2"'), ("air", "diffuser", '["membrane"]'), ("air", "lifted", "{}"),
    ("line", "segment_length", '["30 ft", "40 ft", "50 ft"]'), ("line", "segment_bore", None),
    ("line", "segment_bore", '["0 in"]'), ("line", "curve_flow", '["4 cfm"]'), ("line", "submergence", '"200 ft"'),
    ("line", "length", '"\\ud800"'), ("line", "compressor", '"\\ud800"'), ("power", "power", '"100 W"'),
    ("power", "wire_gauge", '"ten"'), ("power", "current", "true"), ("offers", "name", '"farm store"'),
    ("offers", "price", '["450 dollar", "much"]'), ("offers", "air", '["3 cfm"]'), ("offers", "watts_are", None),
    ("layers", "kind", '"upside down"'),
    ("layers", "reading_depth", '["3 ft", "0 ft"]'), ("layers", "reading_oxygen", '["-1 mg/L"]'),
    ("layers", "surface_temperature", '"999 degC"'), ("layers", "mixed_oxygen", "0"), ("layers", "read_on", "20260718"),
    ("year", "latitude", '"999"'), ("year", "start_hours", '["99 h"]'), ("year", "start_hours", '"2 h"'),
    ("year", "air_from", '"never"'), ("year", "winter", "[]"), ("year", "calendar", '{"May": 1}'),
    ("year", "lifted", '"900 gpm"')]
# what says nothing is taken as it stands: free words, and lists that workbooks do without
TAKEN = {("year", "air_from", '"never"'), ("offers", "air", '["3 cfm"]'), ("offers", "watts_are", None)}


class Watched(Mapping):
    """A mapping that notes in `read` what is asked of it: one key, whether it holds any, or all of it."""

    def __init__(self, held, read, section=None):
        self.held, self.read, self.section = held, read, section

    def _note(self, what):
        self.read.add((self.section, what))

    def __getitem__(self, name):
        self._note(name)
        found = self.held[name]
        return found if self.section else Watched(found, self.read, name)

    def __iter__(self):
        self._note(all)
        return iter(self.held)

    def __len__(self):
        self._note(all)
        return len(self.held)

    def __bool__(self):
        self._note(any)
        return any(self.held)


class WatchedPond(record.PondRecord):
    """A record that notes what is asked of its sections, and which of its other words."""

    @classmethod
    def of(cls, pond, read):
        made = cls(*(getattr(pond, name) for name in HEAD[:3]), stamps=pond.stamps, kept=pond.kept)
        object.__setattr__(made, "sections", Watched(pond.sections, read))
        object.__setattr__(made, "read", read)
        return made

    def __getattribute__(self, name):
        if name in HEAD and "read" in self.__dict__:
            self.__dict__["read"].add((HEAD, name))
        return super().__getattribute__(name)


HEAD = ("name", "system", "invented", "stamps")


def asked(pond, section, what):
    """What a pond answers to something that was read."""
    if section is HEAD:
        return getattr(pond, what)
    held = pond.sections if section is None else pond.sections.get(section, {})
    if section is None and what is not all:
        return what in held
    return any(held) if what is any else dict(held) if what is all else held.get(what)


OPENED = {}     # page -> for each pond it was opened on: all that it read there, with the answers


def tour(pond):
    """Every explorer and form that opens on a pond; those of the plan on the pond its workbook opens.

    One that reads nothing of what was edited has been opened on these numbers already.
    """
    planned = your_plan.open_pond()[0]
    for name, made in {**EXPLORERS, **FORMS}.items():
        wanted = inspect.signature(made).parameters
        given = planned if name.startswith("your_plan.") else pond
        if "pond" not in wanted or any(all(asked(given, *what) == answer for what, answer in before)
                                       for before in OPENED.get(name, ())):
            continue
        read = set()
        watched = WatchedPond.of(given, read)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            try:
                if name in EXPLORERS:
                    explorer_of(name, watched)
                else:
                    made(**{key: value for key, value in {"pond": watched, "system": given.system}.items()
                            if key in wanted})
            except Exception as problem:
                raise AssertionError(f"{name}: {type(problem).__name__}: {problem}") from problem
        read.add((HEAD, "system"))
        OPENED.setdefault(name, []).append([(what, asked(given, *what)) for what in read])


def stands(text, section, field, value):
    """The text of a value as written by hand, in a file."""
    inside = next(part for part in re.split(r'\n    (?=")', text) if part.startswith(f'"{section}": {{'))
    return f'"{field}": {value}' in inside


@pytest.mark.parametrize(("section", "field", "value"), EDITS)
def test_a_value_that_cannot_be_is_named_set_aside_and_kept(section, field, value, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "my-pond.json"
    text = edited(section, field, value)
    path.write_text(text, encoding="utf-8")
    pond, words = open_pond(path=path)
    if (section, field, value) not in TAKEN:
        assert f"{section}.{field}" in words and "kept in my-pond.json" in words, words
        assert pond.get(section, field) is None
    assert not pond.invented
    tour(pond)
    other = "power" if section != "power" else "layers"
    record.save_section(other, dict(pond.sections[other]), path, "test")
    after = path.read_text(encoding="utf-8")
    assert value is None or stands(after, section, field, value)
    assert json.loads(after)["sections"] == json.loads(text)["sections"]


@pytest.mark.parametrize(("old", "new", "says"), [
    ('"deepest": "11.25 foot",', '"deepest": "11.25 foot",\n      "deepest": "9 foot",', "water.deepest stands twice"),
    ('    "water": {', '    "water": {"deepest": "9 ft"},\n    "water": {', "section 'water' stands twice"),
    ('  "sections": {', '  "sections": {"site": {}},\n  "sections": {', "“sections” stands twice"),
    ('    "power": {', '    "power": [1, 2],\n    "was power": {', "section 'power'"),
    ('"name": "North pasture pond"', '"name": null', "“name” is text"),
    ('"units": "US"', '"units": "furlongs"', "“units” is"), ('"invented": false', '"invented": "no"', "“invented” is"),
    ('"version": 1', '"version": "one"', "which version"),
    ('  "stamps": {', '  "stamps": 4,\n  "was": {', "stamps do not stand"),
    ('  "sections": {', '  "sections": [3],\n  "was": {', "sections do not stand")])
def test_a_bracket_that_cannot_be_used_is_named_and_kept(old, new, says, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "my-pond.json"
    text = TODAY.replace(old, new, 1)
    assert text != TODAY
    path.write_text(text, encoding="utf-8")
    pond, words = open_pond(path=path)
    assert says in words
    tour(pond)
    record.save_section("layers", {"kind": "mixed"}, path)
    after = path.read_text(encoding="utf-8")
    marks = [re.sub(r"\s", "", line).rstrip(",{") for line in new.splitlines()]
    for mark in marks:
        held = mark.split(":", 1)[1]
        held = held.removesuffix("}") if "sections" in mark else held       # the first is used, and grows
        assert held in re.sub(r"\s", "", after), f"{mark} is gone"
    assert record.load(path).get("layers", "kind") == "mixed"


def test_a_section_saved_over_what_is_no_section_leaves_the_old_beside_it(tmp_path):
    path = tmp_path / "my-pond.json"
    path.write_text(TODAY.replace('    "power": {', '    "power": [1, 2],\n    "was power": {'), encoding="utf-8")
    record.save_section("power", {"current": Q("3 A")}, path)
    held = json.loads(path.read_text(encoding="utf-8"))["sections"]
    assert held["power (set aside)"] == [1, 2] and "was power" in held
    assert record.load(path).get("power", "current").m_as("A") == pytest.approx(3) and not record.load(path).notes


def test_a_good_value_takes_the_place_of_an_odd_one(tmp_path):
    path = tmp_path / "my-pond.json"
    path.write_text(edited("site", "elevation", '"high"'), encoding="utf-8")
    record.rename("North", "US", {"elevation": Q("900 ft")}, path)
    assert not record.load(path).notes and "high" not in json.loads(path.read_text())["sections"]["site"].values()


def test_a_link_is_followed_and_stays_a_link(tmp_path):
    (tmp_path / "cloud").mkdir()
    (tmp_path / "here").mkdir()
    target, link = tmp_path / "cloud" / "pond.json", tmp_path / "here" / "my-pond.json"
    target.write_text(TODAY, encoding="utf-8")
    try:
        link.symlink_to(target)
    except OSError:
        pytest.skip("this computer makes no links")
    record.save_section("site", {"elevation": Q("777 ft")}, link)
    assert link.is_symlink() and "777 foot" in target.read_text(encoding="utf-8")
    assert sorted(p.name for p in tmp_path.glob("*/*")) == ["my-pond.json", "pond.json", "pond.json.bak"]


@pytest.mark.skipif(os.name == "nt", reason="modes of files are not kept this way on Windows")
@pytest.mark.parametrize("mode", [0o600, 0o640, 0o664])
def test_the_mode_of_the_file_is_kept(mode, tmp_path):
    path = tmp_path / "my-pond.json"
    path.write_text(TODAY, encoding="utf-8")
    path.chmod(mode)
    record.save_section("site", {"elevation": Q("777 ft")}, path)
    assert [p.stat().st_mode & 0o777 for p in (path, tmp_path / "my-pond.json.bak")] == [mode, mode]


def test_a_backup_that_is_a_link_is_not_written_through_and_one_cut_short_does_not_stand(tmp_path, monkeypatch):
    path, other = tmp_path / "my-pond.json", tmp_path / "other.txt"
    path.write_text(TODAY, encoding="utf-8")
    other.write_text("mine", encoding="utf-8")
    try:
        (tmp_path / "my-pond.json.bak").symlink_to(other)
    except OSError:
        pytest.skip("this computer makes no links")
    record.save_section("site", {"elevation": Q("777 ft")}, path)
    assert other.read_text() == "mine" and (tmp_path / "my-pond.json.bak").read_text(encoding="utf-8") == TODAY
    before, real = path.read_text(encoding="utf-8"), os.fsync
    calls = []

    def fails_second(handle):
        calls.append(handle)
        if len(calls) == 2:
            raise OSError(28, "No space left on device")
        return real(handle)
    monkeypatch.setattr(os, "fsync", fails_second)
    with pytest.raises(RecordError, match="No space left"):
        record.save_section("site", {"elevation": Q("888 ft")}, path)
    assert path.read_text(encoding="utf-8") == before
    assert (tmp_path / "my-pond.json.bak").read_text(encoding="utf-8") == TODAY
    assert not list(tmp_path.glob("*new"))


def test_what_killed_saves_left_is_removed_when_old_and_nothing_else(tmp_path):
    path = tmp_path / "my-pond.json"
    path.write_text(TODAY, encoding="utf-8")
    names = ["my-pond.json.123.new", "my-pond.json.123.bak.new", "my-pond.json.77.new", "other.json.123.new",
             "my-pond.json.new", "my-pond.json.abc.new"]
    for name in names:
        (tmp_path / name).write_text("{")
        if "77" not in name:
            os.utime(tmp_path / name, (time.time() - 300,) * 2)
    record.save_section("site", {"elevation": Q("777 ft")}, path)
    assert [name for name in names if (tmp_path / name).exists()] == names[2:]


@pytest.mark.parametrize(("system", "says"), [("US", "to 14,800 ft (4,500 m)"), ("metric", "to 4,500 m (14,800 ft)")])
def test_what_is_not_used_is_told_in_the_units_of_the_record(system, says):
    text = json.dumps({"format": "pond record", "version": 1, "name": "North", "units": system, "invented": False,
                       "sections": {"site": {"elevation": "15000 foot"}}})
    assert says in " ".join(record.from_text(text).notes)
