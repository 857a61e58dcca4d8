"""A mix of grounds to come."""

from dataclasses import replace

import pytest

from pitchline.exchange.machine_file import machine_from_json, machine_json
from pitchline.judge import judge
from pitchline.outlook.crossing import _to_come
from pitchline.trade.errors import InputError, NotAllowedError
from pitchline.trade.ground import GroundClass, GroundMix
from pitchline.words import say
from pitchline.words.labels import mix_said


def hours(verdict):
    return [(p.due.cautious, p.due.middle, p.due.hopeful) for p in verdict.parts if p.due is not None]


def on(dossier, *shares):
    return replace(dossier, ground_to_come=GroundMix(shares))


def test_all_hours_on_the_usual_ground_is_no_change(dossier):
    assert hours(judge(on(dossier, 0, 0, 1, 0, 0))) == hours(judge(dossier))


def test_harder_grounds_leave_fewer_hours_and_a_mix_lies_between(dossier):
    """More wear never means more life."""
    kind, mixed, harsh = (
        hours(judge(on(dossier, *s))) for s in ((1, 0, 0, 0, 0), (0.5, 0, 0, 0, 0.5), (0, 0, 0, 0, 1))
    )
    middles = [[row[1] for row in one] for one in (kind, mixed, harsh)]
    assert all(a > b > c for a, b, c in zip(*middles, strict=True))


def test_rate_of_a_mix_is_the_mean_of_the_rates():
    """Definition: hours in each ground times its effect, over all hours; by numpy alone."""
    import numpy as np

    effects = np.array([[-0.7, -0.2, 0.0, 0.4, 0.9], [-0.5, -0.1, 0.0, 0.2, 1.1]])
    shares = (0.1, 0.2, 0.3, 0.4, 0.0)
    found = _to_come(effects, GroundMix(shares), 3)
    assert found.shape == (2, 3, 1)
    assert np.exp(found[:, 1, 0]) == pytest.approx(np.average(np.exp(effects), axis=1, weights=shares), rel=1e-12)


@pytest.mark.parametrize("shares", [(0.5, 0.5, 0.5, 0, 0), (1.2, -0.2, 0, 0, 0), (1,), (float("nan"), 1, 0, 0, 0)])
def test_shares_that_make_no_whole_are_refused(shares):
    with pytest.raises(NotAllowedError, match="ground mix"):
        GroundMix(shares)


def test_mix_is_said_beside_the_figures(dossier):
    verdict = judge(on(dossier, 0, 0, 0.6, 0.4, 0))
    assert "Hours to come are taken on this ground: 60 % middling, 40 % sharp." in [
        say(one) for one in verdict.remarks
    ]


def test_file_with_shares_that_make_no_whole_names_the_field(dossier):
    text = machine_json(on(dossier, 0, 0, 0.6, 0.4, 0)).replace('"share": 0.4', '"share": 0.3')
    with pytest.raises(InputError, match="90 % together"):
        machine_from_json(text, "machine.json")


def test_mix_in_words_names_only_what_has_a_share():
    assert mix_said(GroundMix.all_of(GroundClass.HARSH)) == "harsh"
    assert mix_said(GroundMix((0.25, 0.0, 0.75, 0.0, 0.0))) == "25 % gentle, 75 % middling"
