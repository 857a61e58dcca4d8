"""The worth page: an offer at any asking price from its address alone, and keeping one."""

import pytest
from django.test import Client

from pitchline.desk.bridge.figures import verdict_of
from pitchline.desk.machine.judging import judge_machine
from pitchline.desk.machine.models import Judgement, Machine
from pitchline.desk.trail.models import Change
from pitchline.desk.undo.models import Undoable
from pitchline.money.bid import bid
from pitchline.papers.words import amount
from pitchline.trade.asking import AskingPrice


@pytest.fixture
def machine(bring, dossier, priced_yard):
    """The invented excavator, judged with prices."""
    return bring(dossier)


@pytest.fixture
def page(client, machine):
    """A factory of answers to what is asked."""

    def make(**asked):
        return client.get(f"/machines/{machine.pk}/worth/", asked)

    return make


@pytest.fixture
def keep(client, machine):
    """A factory of keepings."""

    def make(**typed):
        post = {"seen_version": Machine.objects.get(pk=machine.pk).version} | typed
        return client.post(f"/machines/{machine.pk}/worth/keep/", post)

    return make


def asked_of(machine):
    return Machine.objects.get(pk=machine.pk).asking_price


def said(money):
    return amount(money, "EUR").replace("\u00a0", " ")


def test_machines_page_tells_worth_now_as_new_and_half_worn(client, machine, words):
    text = words(client.get(f"/machines/{machine.pk}/"))
    worth = verdict_of(machine.judgement).worth
    for money in (worth.left, worth.as_new):
        assert said(money.usual) in text
    assert said(worth.as_new.usual / 2) in text
    assert "No asking price is entered, so there is no offer" in text
    assert "Sprockets: replace" in text or "Sprockets: " in text


def test_offer_is_that_of_the_core_and_nothing_is_written(page, machine, words):
    before = (Judgement.objects.count(), Change.objects.count(), Machine.objects.get(pk=machine.pk).version)
    text = words(page(asking_price="20,000"))
    made = bid(20_000, verdict_of(machine.judgement).worth)
    for line in made.lines:
        assert said(line.amount.usual).replace("-", "−") in text
    assert said(made.offer.usual) in text
    assert "Keep EUR 20,000 as asking price" in text
    assert before == (
        Judgement.objects.count(),
        Change.objects.count(),
        Machine.objects.get(pk=machine.pk).version,
    )


def test_worth_of_each_part_is_its_price_times_its_life_left(page, machine, words):
    """Depreciated replacement cost, part by part: recomputed from price and share (IVSC Guidance Note 8, 2005)."""
    text = words(page())
    for part in verdict_of(machine.judgement).worth.parts:
        assert said(part.installed.usual * part.usual) in text
        assert f"{round(100 * part.usual)} %" in text


@pytest.mark.parametrize("typed", ["abc", "0", "-5", "EUR", "1" * 45, "48000 EURO", "1e5"])
def test_what_is_no_asking_price_is_refused_and_stands_in_the_form(page, keep, machine, typed):
    answer = page(asking_price=typed)
    assert answer.status_code == 400
    assert f'value="{typed}"' in answer.content.decode()
    assert keep(asking_price=typed).status_code == 400
    assert asked_of(machine) is None


def test_another_currency_makes_no_offer(page, words):
    text = words(page(asking_price="SEK 500000"))
    assert "No offer: SEK 500,000 is in another currency than the price list, EUR" in text


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("48000", "EUR 48000"),
        ("eur 48,000", "EUR 48000"),
        ("48000.5 SEK", "SEK 48000.50"),
        ("EUR48000", "EUR 48000"),
    ],
)
def test_price_is_kept_in_its_currency_judged_and_told(keep, machine, typed, kept):
    assert keep(asking_price=typed).status_code == 302
    assert asked_of(machine).said == kept
    now = Machine.objects.get(pk=machine.pk)
    assert not now.to_judge
    assert (verdict_of(now.judgement).bid is not None) is kept.startswith("EUR")
    change = Change.objects.get(machine_id=machine.pk, what="asking price")
    assert (change.before, change.after) == ("", kept)


def test_keeping_is_undone_and_the_offer_goes_with_it(client, keep, machine, words):
    keep(asking_price="EUR 9000")
    keep(asking_price="EUR 8000")
    latest = Undoable.objects.order_by("-at").first()
    assert client.post(f"/undo/{latest.pk}/").status_code == 302
    assert asked_of(machine) == AskingPrice(9000.0, "EUR")
    text = words(client.get(f"/machines/{machine.pk}/"))
    assert "Asking price EUR 9,000" in text
    assert "EUR 8,000 asked" not in text


def test_undoing_leaves_a_later_price_alone(client, keep, machine):
    keep(asking_price="EUR 9000")
    first = Undoable.objects.get(way="asking price")
    keep(asking_price="EUR 8000")
    client.post(f"/undo/{first.pk}/")
    assert asked_of(machine) == AskingPrice(8000.0, "EUR")
    assert Undoable.objects.get(pk=first.pk).undone_at is None


def test_the_same_price_again_changes_nothing(keep, machine):
    keep(asking_price="EUR 9000")
    keep(asking_price="9000")
    assert Undoable.objects.filter(way="asking price").count() == 1
    assert Change.objects.filter(machine_id=machine.pk, what="asking price").count() == 1


def test_somebody_faster_is_told_and_theirs_stands(client, keep, machine):
    seen = machine.version
    keep(asking_price="EUR 9000")
    answer = client.post(f"/machines/{machine.pk}/worth/keep/", {"seen_version": seen, "asking_price": "EUR 7000"})
    assert answer.status_code == 409
    assert "EUR 9,000" in answer.content.decode()
    assert 'value="EUR 7000"' in answer.content.decode()
    assert asked_of(machine) == AskingPrice(9000.0, "EUR")


def test_without_prices_the_reason_stands_there_and_no_money(client, bring, dossier, words):
    machine = bring(dossier)
    for address in (f"/machines/{machine.pk}/", f"/machines/{machine.pk}/worth/"):
        answer = client.get(address)
        assert "Not known: there is no price list." in words(answer)
        assert "EUR" not in words(answer)


def test_a_price_without_currency_needs_a_price_list(client, bring, dossier):
    machine = bring(dossier)
    answer = client.get(f"/machines/{machine.pk}/worth/", {"asking_price": "48000"})
    assert answer.status_code == 400


def test_a_machine_that_is_not_judged_says_so(client, bring, dossier, priced_yard, words):
    from dataclasses import replace

    machine = bring(replace(dossier, walk_rounds=()))
    assert "Nobody can say what it is worth before" in words(client.get(f"/machines/{machine.pk}/worth/"))


def test_post_without_a_token_is_refused(machine):
    strict = Client(enforce_csrf_checks=True)
    assert strict.post(f"/machines/{machine.pk}/worth/keep/", {"asking_price": "9000"}).status_code == 403


def test_new_asking_price_makes_a_judgement_of_its_own_and_leaves_the_footing(keep, machine, actor):
    """The offer is another, so an old paper prints the old one; plans rest on the footing and outlive it."""
    keep(asking_price="EUR 9000")
    now = Machine.objects.get(pk=machine.pk).judgement
    assert (now.pk, now.footing) != (machine.judgement_id, "")
    assert now.footing == machine.judgement.footing
    assert not now.passing
    again = judge_machine(actor, machine.pk)
    assert again.pk == now.pk
