"""What a walk-round's page makes of the chain's type, of turned bushes and of a length over joints."""

from dataclasses import replace

import pytest

from pitchline.trade.dossier import Event, PartEvent
from pitchline.trade.machine import ChainType
from pitchline.trade.parts import PartKind, Place, Side


@pytest.fixture
def page(client, bring, begin):
    """A factory of walk-round pages of one machine."""

    def make(dossier):
        return client.get(f"/walk-rounds/{begin(bring(dossier, judged=False))}/").content.decode()

    return make


@pytest.mark.parametrize("chain_type", [None, *ChainType])
def test_a_dry_chain_is_not_asked_for_dry_joints(page, dossier, chain_type):
    text = page(replace(dossier, gear=replace(dossier.gear, chain_type=chain_type)))
    assert ("dry_joint" in text) is (chain_type is not ChainType.DRY)
    assert "pin_walking_out" in text


def test_turned_bushes_are_told_how_they_are_read(page, dossier):
    turned = PartEvent(Place(PartKind.BUSH, Side.RIGHT), Event.TURNED, 2000.0)
    text = page(replace(dossier, events=(*dossier.events, turned)))
    assert "Turned bushes (right): Read the face that drives forward now." in text
    assert ">calliper across both flats<" in text
    assert "Turned bushes" not in page(replace(dossier, machine=replace(dossier.machine, machine_id="other")))


def test_the_pitch_is_asked_for_as_a_length(page, dossier):
    text = page(dossier)
    assert 'data-label="pitch, length over several joints"' in text
    assert "pitch per joint" not in text
