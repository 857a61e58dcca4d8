"""Free quotes over the API: the same figures as the page, kept once by their key. Every price is invented."""

import io
import uuid

import pypdf
import pytest

from pitchline.desk.freequote.models import FreeQuoteRow

TURN = {"job": "turn", "part": "bush", "count": 2}


@pytest.fixture
def quote(post, machine, priced):
    """A factory of quotes of the invented excavator."""

    def make(key=None, **asked):
        return post(f"/machines/{machine.pk}/quotes", asked, key=key)

    return make


def test_two_bush_turns_and_a_line_of_ones_own(get, quote, machine):
    """By hand: 2 x 900 + 16 h x 60 = 2,760, carriage 35."""
    key = uuid.uuid4()
    answer = quote(key, lines=[TURN], own_lines=[{"words": "carriage", "price": "35"}], customer="Invented Hire")
    told = answer.json()
    assert answer.status_code == 201
    assert (told["id"], told["net"], told["gross"], told["currency"]) == (str(key), 2795.0, None, "EUR")
    assert [(line["said"], line["price"]) for line in told["lines"]] == [
        ("Turn bushes, 2 sides", 2760.0),
        ("Carriage", 35.0),
    ]
    assert (
        quote(key, lines=[TURN], own_lines=[{"words": "carriage", "price": "35"}], customer="Invented Hire").json()
        == told
    )
    assert FreeQuoteRow.objects.count() == 1
    assert get(f"/machines/{machine.pk}/quotes").json()["items"] == [told]
    paper = get(f"/machines/{machine.pk}/quotes/{key}/quote.pdf")
    text = pypdf.PdfReader(io.BytesIO(paper.content)).pages[0].extract_text()
    assert "2,795.00" in text
    assert "Invented Hire" in text


@pytest.mark.parametrize(
    "asked",
    [
        {},
        {"lines": [TURN | {"job": "dance"}]},
        {"lines": [TURN | {"part": "slew_ring"}]},
        {"lines": [TURN | {"price": "cheap"}]},
        {"lines": [TURN | {"price": "5"}]},
        {"lines": [TURN], "valid_until": "2020-01-01"},
        {"lines": [TURN], "valid_until": "soon"},
        {"lines": [TURN], "charges": ["lorry"]},
        {"lines": [TURN, TURN]},
        {"own_lines": [{"words": "carriage", "price": ""}]},
    ],
)
def test_what_cannot_be_quoted_is_refused_whole(quote, asked):
    answer = quote(**asked)
    assert answer.status_code == 422
    assert all(problem["next_step"] for problem in answer.json()["problems"])
    assert not FreeQuoteRow.objects.exists()


def test_put_away_it_stays_to_be_read(post, get, quote, machine):
    told = quote(lines=[TURN]).json()
    address = f"/machines/{machine.pk}/quotes/{told['id']}"
    assert post(f"{address}/away", {"away": True}).json()["put_away_at"] is not None
    assert get(address).json()["number"] == told["number"]
    assert post(f"{address}/away", {"away": False}).json()["put_away_at"] is None


def test_without_a_price_list_there_is_no_quote(post, machine):
    assert post(f"/machines/{machine.pk}/quotes", {"lines": [TURN]}).status_code == 409


def test_prices_of_a_class_of_machine_are_told(get, post, machine, priced):
    lines = priced.decode().replace("labour hours\n", "labour hours,mass from,gear list\n")
    lines += "turn,bush,place,,1000,,8,12 t,\nturn,bush,place,,1100,,8,,Wide\nlorry,,,,400,,,12 t,\n"
    assert post("/price-lists", lines, content_type="text/csv").status_code == 201
    told = get("/price-lists/in-force").json()
    every, heavy, wide = (line["machines"] for line in told["lines"] if line["job"] == "turn")
    assert every == {"family": "", "mass_from_kg": None, "mass_under_kg": None, "gear_list": ""}
    assert (heavy["mass_from_kg"], wide["gear_list"]) == (12000.0, "Wide")
    assert told["figures"] == [{"name": "lorry", "amount": 400.0, "machines": heavy}]
