"""The audit in words: counts of a hundred, kinds that stand out, and nothing claimed where readings are few."""

from dataclasses import replace

import pytest

from pitchline.outlook.audit import Audit, AuditRow
from pitchline.papers.audit_words import audit_words, kind_said, verdict_said


def row(kind="", inside=(0.5, 0.8, 0.9), readings=1000, histogram=None, mean_chance=0.5):
    """One invented row; doubts as the binomial ones of a thousand readings."""
    even = (readings // 10,) * 10
    u = (0.016, 0.013, 0.009)
    return AuditRow(
        kind, readings, 40, inside, u, u, histogram or even, 0.02, mean_chance, 0.009, 0.05, 0.08, 0.07, 0.11
    )


@pytest.fixture
def audit():
    """Two kinds, all as promised. Invented."""
    rows = (row("bottom_roller"), row("bush_od"))
    return Audit(row(readings=2000), rows, 40, 4, 27, ((1, 900), (2, 1500)))


def said(audit):
    return " ".join(audit_words(audit)).replace("\u00a0", " ")


def test_a_kept_promise_is_told_by_the_hundred(audit):
    text = said(audit)
    assert "Of every 100 predicted with an 80 % range, 80 fell inside." in text
    assert "2,000 readings were predicted before they were known, on 40 machines." in text
    assert "The ranges keep their promise." in text
    assert "No kind of part stands out" in text


def test_a_kind_predicted_too_narrowly_is_named(audit):
    text = said(replace(audit, kinds=(row("bottom_roller", (0.4, 0.68, 0.8)), row("bush_od"))))
    assert "Predicted too narrowly: bottom rollers (68 of 100); 80 of 100 were promised." in text
    assert "stands out" not in text


def test_a_kind_predicted_too_widely_is_named(audit):
    text = said(replace(audit, kinds=(row("bottom_roller"), row("bush_od", (0.7, 0.93, 0.99)))))
    assert "Predicted too widely: bushes (93 of 100)" in text


def test_a_narrow_whole_is_told_first(audit):
    text = audit_words(replace(audit, overall=row(inside=(0.4, 0.7, 0.8))))[0]
    assert "too narrow: things turn out less certain than they look" in text


def test_faster_wear_is_told_with_its_share(audit):
    """Sixty of a hundred readings in the upper five tenths."""
    faster = row("bush_od", histogram=(80,) * 5 + (120,) * 5, mean_chance=0.58)
    assert "Bushes wore faster than predicted: 60 of 100 readings lay above" in said(
        replace(audit, kinds=(row("bottom_roller"), faster))
    )


def test_few_readings_are_not_judged(audit):
    few = row("bush_od", (0.1, 0.2, 0.3), readings=20, histogram=(2,) * 10)
    text = said(replace(audit, kinds=(row("bottom_roller"), few)))
    assert "Too few readings to tell: bushes." in text
    assert "narrowly" not in text


def test_the_line_is_beaten_by_as_much_as_the_score_says(audit):
    """0.05 against 0.08 is 62.5 % of it: 38 % better, rounded."""
    assert "score 38 % better than that line" in said(audit)
    assert "score 25 % worse" in said(replace(audit, overall=replace(audit.overall, crps=0.10)))


def test_the_method_is_told_with_its_counts(audit):
    text = said(audit)
    assert "before walk-round 2 (900 readings known) and walk-round 3 (1,500 readings known)" in text
    assert "27 readings were not predicted" in text
    assert "not predicted" not in said(replace(audit, left_out=0))


def test_nothing_to_check_is_said_so():
    text = said(Audit(None, (), 1, 1, 0, ()))
    assert "Nothing could be checked: 1 machine," in text
    assert "second walk-round" in text


def test_the_verdict_holds_width_and_lean():
    assert verdict_said(row(inside=(0.4, 0.7, 0.8), mean_chance=0.6)) == "too narrow, wore faster than predicted"


def test_words_nobody_knows_are_kept():
    assert kind_said("my_own_part") == "my own part"
