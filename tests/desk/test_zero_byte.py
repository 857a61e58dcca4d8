"""A zero byte anywhere in what is sent is refused with the field's name; PostgreSQL keeps none in text (its manual, 8.3)."""

import pytest


@pytest.mark.parametrize(
    "address", ["/?text=a%00b", "/machines/%00/", "/calendar/a%00b.ics", "/api/v1/machines?text=a%00b"]
)
def test_address_with_a_zero_byte_is_no_error_of_the_desks_own(client, machine, address):
    assert client.get(address).status_code in (400, 404, 422)


def test_every_field_with_one_is_named_and_nothing_is_written(client, machine, words):
    before = machine.name
    fields = {"name": "a\x00b", "customer": "\x00", "place": "here", "seen_version": machine.version}
    answer = client.post(f"/machines/{machine.pk}/about/", fields)
    machine.refresh_from_db()
    text = words(answer)
    assert answer.status_code == 400
    assert "name: “a\\0b”. Allowed: text without a zero byte." in text
    assert "customer: “\\0”." in text
    assert "place:" not in text
    assert machine.name == before


def test_zero_byte_written_as_an_escape_in_a_machine_file_is_refused(client, machine):
    text = machine.file_text.replace('"Test machine"', '"Test\\u0000machine"')
    assert "\\u0000" in text
    fields = {"text": text, "why": "odd", "seen_version": machine.version}
    answer = client.post(f"/machines/{machine.pk}/file/", fields)
    assert answer.status_code == 400


def test_zero_byte_inside_what_a_button_puts_is_refused(client, machine, begin, save):
    """A doubtful reading's button sends its fields as one text, which is taken apart only by the page."""
    answer = save(begin(machine), fields={"put": "link/left:rail_height?1=10%004"})
    assert answer.status_code == 400
    assert "link/left:rail_height" in answer.json()["problems"][0]
