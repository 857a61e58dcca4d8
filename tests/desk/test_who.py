"""Who signs a walk-round: a person by their name, whatever they are called; a desk where nobody signs in signs nothing."""

import uuid

import pytest
from django.contrib.auth.models import User

from pitchline.desk.people.who import NOBODY_NAMED
from pitchline.desk.walkround.models import Sheet


@pytest.mark.parametrize("name", ["owner", NOBODY_NAMED])
def test_a_person_signs_whatever_they_are_called(owner_client, owner, bring, dossier, name):
    machine = bring(dossier, who=owner, judged=False)
    User.objects.filter(username="owner").update(username=name)
    assert begun(owner_client, machine).by == name


def test_a_desk_without_login_signs_nothing(client, bring, dossier):
    assert begun(client, bring(dossier, judged=False)).by == ""


def begun(client, machine):
    sheet_id = uuid.uuid4()
    assert client.post(f"/machines/{machine.pk}/begin/", {"sheet_id": str(sheet_id)}).status_code == 302
    return Sheet.objects.get(pk=sheet_id)
