"""Each record is done once, whatever a phone, a network or a killed desk makes of it."""

from pitchline.desk.walkround.models import Sheet


def test_round_brought_line_by_line_stands_as_one_made_at_the_desk(pocket, machine):
    sheet, began = pocket.begin(machine, by="Ann")
    assert began["became"] == "done"
    saved = pocket.line(sheet, **{"1": "58.1", "tool": "calliper"})
    assert (saved["became"], saved["line"]["v"]) == ("done", 1)
    done = pocket.became("finish", sheet=sheet)
    assert (done["became"], done["sheet"]["told"]) == ("done", "1 of 31 parts looked at")
    one = Sheet.objects.get(pk=sheet)
    assert (one.state, one.by, one.hours_text) == ("finished", "Ann", "3100")
