"""Questions: every one has a right answer, and every wrong one a reply that names the slip."""

import pytest

from pondcalc import checks, datafiles
from pondcalc.units import Q, write_quantity

BOOKS = sorted(p.stem for p in datafiles.path("questions/00-start-here.json").parent.glob("*.json"))


@pytest.mark.parametrize("book", BOOKS)
def test_every_question_can_be_answered_and_every_slip_has_its_own_reply(book):
    for asked in checks.load(book).values():
        if isinstance(asked, checks.Choice):
            assert sum(checks.judge(asked, words).right for words, *_ in asked.options) == 1
            replies = [reply for *_, reply in asked.options]
            assert len(set(replies)) == len(replies) and all(len(r) > 20 for r in replies)
            continue
        assert checks.judge(asked, write_quantity(asked.answer)).right
        assert asked.slips, f"{asked.id} names no likely slip"
        for wrong, reply in asked.slips:
            verdict = checks.judge(asked, write_quantity(wrong))
            assert not verdict.right and verdict.reply == reply
        assert asked.hint and asked.solution


def test_judging_numbers():
    asked = checks.Number("x", "How deep?", "depth", Q("10 ft"), 0.02, ((Q("10 m"), "metres, not feet"),), "h", "s")
    assert checks.judge(asked, "10.1 ft").right and checks.judge(asked, "3.05 m").right
    bare = checks.judge(asked, "10")
    assert bare.right is None and "no unit" in bare.reply and "1 ft" in bare.reply
    assert "1 m" in checks.judge(asked, "3.05", "metric").reply and checks.judge(asked, " ").right is None
    assert checks.judge(asked, "10 m").reply == "metres, not feet"
    assert "too low" in checks.judge(asked, "4 ft").reply and "too high" in checks.judge(asked, "40 ft").reply
    assert "not the kind of number" in checks.judge(asked, "10 psi").reply
    cost = checks.Number("c", "Cost?", "money a year", Q("379 $/yr"), 0.02, (), "h", "s")
    for words in ("$379", "$379 a year", "379 dollars per year", "379 $/yr"):
        assert checks.judge(cost, words).right, words
    assert "does not start with a number" in checks.judge(asked, "ten").reply


def test_a_question_needs_exactly_one_right_option():
    with pytest.raises(ValueError, match="exactly one"):
        checks._build({"form": "choice", "id": "q", "ask": "?", "options": [{"words": "a", "reply": "no"}]})


def test_an_unknown_question_is_named():
    with pytest.raises(KeyError, match="no question 'nope'"):
        checks.question(BOOKS[0], "nope")


def test_a_count_may_carry_the_word_it_counts():
    asked = checks.question("07-first-start-and-the-year", "blocks")
    for given in ("4", "4 blocks", "4 Blocks.", " 4 block "):
        assert checks.judge(asked, given).right is True, given
    assert checks.judge(asked, "100 blocks").right is False and checks.judge(asked, "4 ft").right is None
    assert "7 blocks" in checks.judge(asked, "").reply
