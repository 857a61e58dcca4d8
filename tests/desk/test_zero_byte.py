"""A zero byte anywhere in what is sent is refused with the field's name; PostgreSQL keeps none in text (its manual, 8.3)."""

import pytest

from pitchline.desk.walkround.models import ReadingRow


@pytest.mark.parametrize(
    "address",
    [
        "/?text=a%00b", "/?site=%00", "/?kind=%00", "/machines.csv?text=%00", "/machines/%00/", "/calendar/a%00b.ics",
        "/machines/{pk}/parts/a%00b/", "/machines/{pk}/papers/{pk}/a%00b", "/calendar/machines/{pk}/a%00b.ics",
        "/machines/{pk}/limits.a%00b", "/machines.a%00b", "/photos/{pk}/a%00b", "/machines/{pk}/ground/?beside=%00",
        "/machines/{pk}/outlook/?usual=%00", "/api/v1/machines?text=a%00b", "/api/v1/machines/a%00b",
    ],
)  # fmt: skip
def test_address_with_a_zero_byte_is_no_error_of_the_desks_own(client, machine, address):
    assert client.get(address.format(pk=machine.pk)).status_code in (400, 404, 422)


@pytest.mark.parametrize("name", ["page", "as", "choose", "archived", "a%00b"])
def test_zero_byte_where_nothing_is_looked_up_does_nothing(client, machine, name):
    assert client.get(f"/?{name}=a%00b").status_code == 200


@pytest.mark.parametrize("name", ["link/left:rail\x00~1", "li\x00nk/left:rail_height~1", "\x00~bad", "\x00"])
def test_field_whose_name_has_one_writes_nothing(client, machine, begin, save, name):
    sheet = begin(machine)
    answer = save(sheet, fields={name: "10"})
    assert answer.status_code == 400 or answer.json()["lines"] == []
    assert not ReadingRow.objects.filter(sheet=sheet).exists()


def test_every_field_with_one_is_named_and_nothing_is_written(client, machine, words):
    before = machine.name
    fields = {"name": "a\x00b", "customer": "\x00", "place": "here", "seen_version": machine.version}
    answer = client.post(f"/machines/{machine.pk}/about/", fields)
    machine.refresh_from_db()
    assert answer.status_code == 400
    assert words(answer).count("Null characters are not allowed.") == 2
    assert machine.name == before


def test_zero_byte_written_as_an_escape_in_a_machine_file_is_refused(client, machine):
    text = machine.file_text.replace('"Test machine"', '"Test\\u0000machine"')
    assert "\\u0000" in text
    fields = {"text": text, "why": "odd", "seen_version": machine.version}
    answer = client.post(f"/machines/{machine.pk}/file/", fields)
    assert answer.status_code == 400


def test_zero_byte_inside_what_a_button_puts_is_refused(client, machine, begin, save):
    """A questioned reading's button sends its fields as one text, which is taken apart only by the page."""
    answer = save(begin(machine), fields={"put": "link/left:rail_height?1=10%004"})
    assert answer.status_code == 400
    assert "link/left:rail_height" in answer.json()["problems"][0]
