"""Page, list, exported list, workbook, API and shell say one figure for one thing, for every machine of the demo yard."""

import csv
import html
import io
import json

import pytest
from openpyxl import load_workbook

from judged_once import judge_once
from pitchline.cli import from_files, main
from pitchline.desk.bridge.figures import verdict_of
from pitchline.desk.machine.judging import judge_machine
from pitchline.desk.machine.models import Machine
from pitchline.desk.prices import newest_prices
from pitchline.desk.yard.demo import open_demo_yard
from pitchline.papers.words import amount

ASKED = 48_000.0
_NAMES = ("cautious", "middle", "hopeful")


def said(figure):
    return amount(figure, "EUR").replace("-", "−").replace("\u00a0", " ")


@pytest.fixture
def yard(actor, monkeypatch):
    """All machines of the demo yard with one asking price, judged; by the shell anew only where it read something else.

    That the shell's own judgement of the same is the same: `machine/test_same_verdict.py`.
    """
    monkeypatch.setattr(from_files, "judge", judge_once)
    open_demo_yard(actor)
    Machine.objects.update(asking_amount=ASKED, asking_currency="EUR", to_judge=True)
    for pk in Machine.objects.values_list("pk", flat=True):
        judge_machine(actor, pk)
    return list(Machine.objects.select_related("judgement").order_by("short_name"))


def rows_of(sheet):
    head, *rows = sheet.iter_rows(values_only=True)
    return [dict(zip(head, row, strict=True)) for row in rows]


def check_workbook(content, verdict):
    """Sums are recomputed from the sheet's own prices and shares: depreciated replacement cost, half-life adjustment."""
    book = load_workbook(io.BytesIO(content))
    parts = [row for row in rows_of(book["worth"]) if row["as new"] is not None]
    assert sum(row["as new"] for row in parts) == pytest.approx(verdict.worth.as_new.usual, abs=0.5)
    for name in _NAMES:
        figure = {"cautious": "low", "middle": "usual", "hopeful": "high"}[name]
        summed = min(sum(row[f"worth left in it, {name}"] for row in parts), ASKED)
        assert summed == pytest.approx(getattr(verdict.worth.left, figure), abs=0.5)
    by_hand = sum(row["as new"] * row["life left, middle"] for row in parts)
    assert by_hand == pytest.approx(verdict.worth.left.usual, abs=0.0005 * verdict.worth.as_new.usual + 1)
    gain = sum(
        row["as new"] * ((1 if row["to put right now"] else row["life left, middle"]) - 0.5) for row in parts
    )
    lines = {row["line"]: row for row in rows_of(book["bid"])}
    assert lines["asking price"]["middle"] == ASKED
    assert lines["offer"]["middle"] == pytest.approx(verdict.bid.offer.usual, abs=0.005)
    assert lines["running gear against half worn"]["middle"] == pytest.approx(
        gain, abs=0.0005 * verdict.worth.as_new.usual + 1
    )


def test_every_place_says_the_same_of_every_machine(yard, actor, client, words, capsys, tmp_path):
    (tmp_path / "prices.csv").write_bytes(bytes(newest_prices(actor.business).content))
    listed = {
        row["short name"]: row
        for row in csv.DictReader(io.StringIO(client.get("/machines.csv").content.decode("utf-8-sig")))
    }
    yard_page = html.unescape(words(client.get("/?sort=worth")))
    valued = 0
    for machine in yard:
        verdict, name = verdict_of(machine.judgement), machine.short_name
        row = client.get(f"/api/v1/machines/{machine.pk}").json()
        assert row["asking_price"] == {"amount": ASKED, "currency": "EUR"}
        page = html.unescape(words(client.get(f"/machines/{machine.pk}/")))
        if verdict.worth is None:
            assert row["running_gear_worth"] is None
            assert listed[name]["running gear worth now, middle"] == ""
            assert "Not known: nothing that was read" in page
            continue
        valued += 1
        left, offer = verdict.worth.left, verdict.bid.offer
        figures = (left.low, left.usual, left.high)
        assert tuple(row["running_gear_worth"][each] for each in _NAMES) == figures, name
        assert tuple(float(listed[name][f"running gear worth now, {each}"]) for each in _NAMES) == figures
        tried = html.unescape(words(client.get(f"/machines/{machine.pk}/worth/", {"asking_price": "48000"})))
        for where in (page, tried):
            assert f"Running gear worth now {said(left.usual)}" in where, name
            assert f"As new {said(verdict.worth.as_new.usual)}" in where
            assert f"Half worn {said(verdict.worth.as_new.usual / 2)}" in where
            assert said(offer.usual) in where
        assert said(left.usual) in yard_page
        content = client.get(f"/machines/{machine.pk}/papers/{machine.judgement_id}/work.xlsx").content
        check_workbook(content, verdict)
        stored = client.get(f"/api/v1/machines/{machine.pk}/verdict").content.decode()
        (tmp_path / f"{name}.json").write_bytes(client.get(f"/machines/{machine.pk}/machine.json").content)
        call = ["judge", str(tmp_path / f"{name}.json"), "--prices", str(tmp_path / "prices.csv"), "--json"]
        assert main([*call, "--as-of", "today"]) == 0
        shell = json.loads(capsys.readouterr().out)
        told = json.loads(stored)
        assert (shell["worth"], shell["bid"]) == (told["worth"], told["bid"]), name
    assert valued >= 15
    whole = sum(machine.worth_usual for machine in yard if machine.worth_usual is not None)
    assert client.get("/api/v1/yard").json()["running_gear_worth"] == pytest.approx(whole)
    assert said(whole) in yard_page
    order = [
        machine.name for machine in sorted(yard, key=lambda one: -(one.worth_usual or -1)) if machine.worth_usual
    ]
    assert [yard_page.index(name) for name in order] == sorted(yard_page.index(name) for name in order)
