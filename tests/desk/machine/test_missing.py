"""What is not entered yet is offered to whoever may enter it, and to nobody else."""

import re

import pytest
from django.contrib.auth.models import User
from django.test import Client

from pitchline.desk.machine.models import Machine
from pitchline.desk.people.models import Member
from pitchline.desk.people.rights import FITTER, OFFICE, READER


@pytest.mark.parametrize("role", [OFFICE, FITTER, READER])
def test_no_button_of_what_is_missing_leads_to_a_refusal(role, owner, with_login, dossier, bring):
    Member.objects.create(user=User.objects.create_user("mate"), business=owner.business, role=role)
    browser = Client()
    browser.force_login(User.objects.get(username="mate"))
    bring(dossier, judged=False, who=owner)
    Machine.objects.create(business=owner.business, short_name="Fern", name="Fern", kind="dozer")
    shown = []
    for machine in Machine.objects.all():
        page = browser.get(f"/machines/{machine.pk}/").content.decode()
        part = re.search(r'<ul class="missing">.*?</ul>', page, re.DOTALL)
        for address in re.findall(r'class="button" href="([^"]+)"', part[0]) if part else ():
            shown.append(address)
            assert browser.get(address).status_code == 200, address
    assert bool(shown) is (role != READER)
    assert ("/prices/" in shown) is (role == OFFICE)
