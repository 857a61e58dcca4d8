"""All that is said of a machine: every key of the machine file has a form, and what is wrong stands at its field."""

import html
import json
import re
from html.parser import HTMLParser

import pytest

from pitchline.desk.entered.sections import OWN, SECTIONS
from pitchline.desk.machine.models import Machine
from pitchline.desk.trail.models import Change
from pitchline.exchange.machine_file import machine_from_json, machine_json, machine_schema

ELSEWHERE = ("walk_rounds", "work_done", "looked_for")
"""Keys that have pages of their own: walk-rounds, work done, what was found of the causes of wear."""
HOURS_SEEN = (("hours", "own_week"), ("hours", "seen"))
"""What the page Hours and the page What if write."""
NOT_FACTS = ("format", "$schema")
"""What the file says of itself."""


@pytest.fixture
def whole():
    """Every key of a machine file but walk-rounds and work done, each with a value that is not its default; all invented."""
    return {
        "machine": {
            "short_name": "EX-07", "name": "Seven", "kind": "excavator", "mass": "20.3 t", "note": "invented",
            "serial_number": "INV-1", "year_built": 2012, "owner_number": "7",
        },
        "running_gear": {
            "track": "steel_bolted_pads", "joints_per_side": 47, "pitch": "187 mm", "pitch_measured": True,
            "chain_type": "sealed",
            "shoe_width": "570 mm", "sprocket_teeth": 25, "sprocket_gaps": "every_second", "bottom_rollers_per_side": 7,
            "upper_rollers_per_side": 2, "two_flange_rollers": [2, 6], "layout": "raised_sprocket",
            "shoe_class": "low_ground_pressure", "grousers_per_shoe": 3, "bolts_per_shoe": 4, "pads_per_shoe": 2,
            "bolts_per_pad": 5, "sprocket_segments": 6, "adjuster_stroke": "120 mm", "guards": ["track guide"], "slew_ring": True,
        },
        "hours": {
            "meter_from_new": False, "meter_changes": [{"date": "2025-06-01", "old_h": 5000, "new_h": 10}],
            "per_week": {"low": 15, "usual": 30, "high": 45}, "travelling": 0.15,
        },
        "ground": {
            "usual": "mild", "entered": False, "spans": [{"from_h": 0, "to_h": 2000, "ground": "sharp"}],
            "named": [{"name": "wet heavy clay", "share": 1}],
            "to_come": [{"ground": "mild", "share": 0.25}, {"ground": "harsh", "share": 0.75}],
        },
        "limits": [
            {"part": "bush", "measurand": "bush_od_forward", "new": "61 mm", "limit": "56 mm", "source": "invented",
             "turn_at": 0.4,
             "at_limit": "replace", "doubt_of_new": "0.1 mm", "shape": "shape_preserving", "assumed": True,
             "between": [{"size": "59 mm", "life_used": 0.3}], "tip_width": "9 mm", "root_width": "19 mm"},
        ],
        "ranges": [{"part": "chain", "measurand": "sag", "least": "20 mm", "most": "40 mm", "source": "invented"}],
        "kind_lives": [{"part": "bush", "measurand": "bush_od_forward", "typical_life_h": 5000, "log_spread": 0.4}],
        "tools": [{"name": "long_rule", "label": "Long rule", "resolution": "1 mm", "permitted_error": "0.5 mm",
                   "repeatability": "0.8 mm"}],
        "history": [{"what": "fitted_new", "part": "bottom_roller", "side": "left", "position": 2, "meter_h": 3000,
                     "date": "2024-01-10", "removed_because": "worn"}],
        "asking_price": {"amount": 48000, "currency": "EUR"},
        "calls": {"booking_window_weeks": 6, "book_chance": 0.2, "stop_chance": 0.6},
        "format": "pitchline-machine/1",
    }  # fmt: skip


@pytest.fixture
def full(bring, whole):
    """The machine of that file, in the yard."""
    return bring(machine_from_json(json.dumps(whole), "whole"), judged=False)


class Sent(HTMLParser):
    """What a browser sends of each form of a page if nothing is touched."""

    def __init__(self, text):
        super().__init__()
        self.forms, self.chosen, self.area = [], None, None
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        said = dict(attrs)
        name, kind = said.get("name"), said.get("type")
        if tag == "form":
            self.forms.append({})
        elif tag == "input" and name and self.forms and (kind not in ("checkbox", "radio") or "checked" in said):
            self.forms[-1][name] = said.get("value", "on" if kind == "checkbox" else "")
        elif tag == "textarea":
            self.area = name
            self.forms[-1][name] = ""
        elif tag == "select":
            self.chosen, self.forms[-1][name] = name, None
        elif tag == "option" and (self.forms[-1][self.chosen] is None or "selected" in said):
            self.forms[-1][self.chosen] = said["value"]

    def handle_data(self, text):
        if self.area:
            self.forms[-1][self.area] += text

    def handle_endtag(self, tag):
        if tag == "textarea":
            self.area = None


def fields_on(page):
    """What a browser would send of a page's own form if nothing were touched."""
    return next(form for form in Sent(page.content.decode()).forms if "seen_version" in form)


CHANGES = {
    "about/": {
        "kind": ("dozer", "machine.kind"), "name": ("Eight", "machine.name"), "short_name": ("EX-08", "machine.short_name"),
        "serial_number": ("INV-2", "machine.serial_number"), "year_built": ("2013", "machine.year_built"),
        "owner_number": ("8", "machine.owner_number"), "asking_price": ("USD 39000", "asking_price.*"),
    },
    "gear/": {
        "joints_per_side": ("48", "running_gear.joints_per_side"), "pitch": ("7 1/2 in", "running_gear.pitch*"),
        "chain_type": ("dry", "running_gear.chain_type"), "shoe_width": ("600 mm", "running_gear.shoe_width"),
        "sprocket_teeth": ("24", "running_gear.sprocket_teeth"), "sprocket_gaps": ("each", "running_gear.sprocket_gaps"),
        "bottom_rollers_per_side": ("8", "running_gear.bottom_rollers_per_side"),
        "upper_rollers_per_side": ("1", "running_gear.upper_rollers_per_side"),
        "two_flange_rollers": ("3", "running_gear.two_flange_rollers"), "layout": ("level", "running_gear.layout"),
        "shoe_class": ("standard", "running_gear.shoe_class"), "grousers_per_shoe": ("2", "running_gear.grousers_per_shoe"),
        "bolts_per_shoe": ("6", "running_gear.bolts_per_shoe"), "pads_per_shoe": ("3", "running_gear.pads_per_shoe"),
        "bolts_per_pad": ("2", "running_gear.bolts_per_pad"), "sprocket_segments": ("5", "running_gear.sprocket_segments"),
        "adjuster_stroke": ("130 mm", "running_gear.adjuster_stroke"), "guards": ("belly pan, guide", "running_gear.guards"),
        "slew_ring": (None, "running_gear.slew_ring"), "track": ("steel_pad_shoes", "running_gear.track"),
    },
    "limits/": {
        "bush:bush_od_forward~new": ("62 mm", "limits.new"),
        "bush:bush_od_forward~limit": ("57 mm", "limits.limit limits.assumed"),
        "bush:bush_od_forward~source": ("my book", "limits.source"),
        "link:rail_height~new": ("105 mm", "limits.part limits.measurand"),
    },
    "all/lines/": {
        "limits-1-between": ("60 mm = 25 %", "limits.between*"), "limits-1-shape": ("", "limits.shape"),
        "limits-1-tip_width": ("8 mm", "limits.tip_width"), "limits-1-root_width": ("18 mm", "limits.root_width"),
        "limits-1-doubt_of_new": ("0.2 mm", "limits.doubt_of_new"), "limits-1-turn_at": ("45", "limits.turn_at"),
        "limits-1-at_limit": ("turn", "limits.at_limit"),
    },
    "all/ranges/": {
        "ranges-0-least": ("25 mm", "ranges.least"), "ranges-0-most": ("45 mm", "ranges.most"),
        "ranges-0-source": ("my book", "ranges.source"), "ranges-1-least": ("5 mm", "ranges.part ranges.measurand"),
        "ranges-1-most": ("90 mm", "ranges.part ranges.measurand"),
    },
    "all/mass/": {"mass": ("44 750 lb", "machine.mass"), "note": ("invented too", "machine.note")},
    "all/history/": {
        "history-0-what": ("rebuilt", "history.what"), "history-0-part": ("idler", "history.part"),
        "history-0-side": ("right", "history.side"), "history-0-position": ("1", "history.position"),
        "history-0-hours": ("3,100", "history.*_h"), "history-0-since_new": ("on", "history.*_h"),
        "history-0-date": ("2024-02-11", "history.date"),
        "history-0-removed_because": ("broken", "history.removed_because"),
    },
    "all/hours/": {
        "from_new": (None, "hours.meter_from_new"), "week_low": ("16", "hours.per_week.low"),
        "week_usual": ("31", "hours.per_week.usual"), "week_high": ("46", "hours.per_week.high"),
        "travelling": ("20", "hours.travelling"), "meter_changes-0-date": ("2025-06-02", "hours.meter_changes.date"),
        "meter_changes-0-old_h": ("5001", "hours.meter_changes.old_h"),
        "meter_changes-0-new_h": ("11", "hours.meter_changes.new_h"),
    },
    "all/ground/": {
        "usual": ("sharp", "ground.usual"), "assumed": (None, "ground.entered"), "spans-0-from_h": ("1", "ground.spans.from_h"),
        "spans-0-to_h": ("2001", "ground.spans.to_h"), "spans-0-ground": ("harsh", "ground.spans.ground"),
        "named-0-name": ("dry sand", "ground.named.name"), "named-0-share": ("60", "ground.named.share"),
        "named-1-name": ("wet heavy clay", "ground.named.name"), "named-1-share": ("40", "ground.named.share"),
        "share_mild": ("40", "ground.to_come.share"), "share_harsh": ("", "ground.to_come.ground"),
        "share_gentle": ("60", "ground.to_come.ground"),
    },
    "all/lives/": {
        "kind_lives-1-typical_life_h": ("", "kind_lives.part"), "kind_lives-1-log_spread": ("", "kind_lives.measurand"),
        "kind_lives-3-typical_life_h": ("6000", "kind_lives.typical_life_h"),
        "kind_lives-3-log_spread": ("0.3", "kind_lives.log_spread"),
    },
    "all/tools/": {
        "tools-0-name": ("short_rule", "tools.name"), "tools-0-label": ("Short rule", "tools.label"),
        "tools-0-resolution": ("0.5 mm", "tools.resolution"), "tools-0-permitted_error": ("0.25 mm", "tools.permitted_error"),
        "tools-0-repeatability": ("0.4 mm", "tools.repeatability"),
    },
    "all/calls/": {
        "booking_window_weeks": ("7", "calls.booking_window_weeks"), "book_chance": ("15", "calls.book_chance"),
        "stop_chance": ("55", "calls.stop_chance"),
    },
}  # fmt: skip
"""By address: a field, what is typed into it (None unticks a box), and the keys of the file it changes."""


def keys_of(schema, at=(), seen=()):
    """Every key of the schema that holds a value, as a path of keys; lists and what they hold are one path."""
    if "$ref" in schema:
        name = schema["$ref"].rpartition("/")[2]
        return keys_of(SCHEMA["$defs"][name], at, seen)
    for one in (*schema.get("anyOf", ()), *([schema["items"]] if "items" in schema else ())):
        if found := keys_of(one, at, seen) - {at}:
            return found
    if schema.get("properties"):
        return set().union(*(keys_of(one, (*at, key)) for key, one in schema["properties"].items()))
    return {at}


SCHEMA = machine_schema()
KEYS = {key for key in keys_of(SCHEMA) if key[0] not in (*ELSEWHERE, *NOT_FACTS) and key[:2] not in HOURS_SEEN}


def values_of(whole, key):
    """Every value a file has under a key, in order."""
    found = [whole]
    for step in key:
        found = [one for each in found for one in (each if isinstance(each, list) else [each])]
        found = [each[step] for each in found if step in each]
    return found


def test_the_file_this_begins_with_says_everything(whole):
    """So that a key which is new to the schema fails here until it is in a form and in these tests."""
    silent = {key for key in KEYS if not values_of(whole, key)}
    assert silent == {("history", "service_h")}  # this or meter_h


def test_every_field_of_the_file_is_changed_by_forms_and_nothing_is_lost(client, full, whole):
    """Done-when 3 of issue 14: out, every field changed by form, out again, compared field by field."""
    before = json.loads(client.get(f"/machines/{full.pk}/machine.json").content)
    either = {
        ("history", "meter_h"),
        ("history", "service_h"),
    }  # after a change of the meter it is told in service hours
    assert {key: values_of(before, key) for key in KEYS - either} == {
        key: values_of(whole, key) for key in KEYS - either
    }
    for address, changes in CHANGES.items():
        untouched = json.loads(client.get(f"/machines/{full.pk}/machine.json").content)
        page = client.get(f"/machines/{full.pk}/{address}")
        sent = fields_on(page)
        assert set(changes) <= set(sent) | {name for name, (text, _) in changes.items() if text == "on"}, address
        sent |= {name: text for name, (text, _) in changes.items() if text is not None}
        sent = {name: text for name, text in sent.items() if changes.get(name, ("",))[0] is not None}
        answer = client.post(f"/machines/{full.pk}/{address}", sent)
        assert answer.status_code == 302, (
            address,
            re.findall(r'wrong-said"[^>]*>\s*([^<]+?)\s*<', answer.content.decode()),
        )
        now = json.loads(client.get(f"/machines/{full.pk}/machine.json").content)
        meant = re.compile(
            "|".join(
                one.replace(".", r"\.").replace("*", ".*") for _, keys in changes.values() for one in keys.split()
            )
        )
        moved = {key for key in KEYS if values_of(untouched, key) != values_of(now, key)}
        assert moved <= {key for key in KEYS if meant.fullmatch(".".join(key))}, address
    after = json.loads(client.get(f"/machines/{full.pk}/machine.json").content)
    assert {key for key in KEYS if values_of(before, key) == values_of(after, key)} == {
        ("history", "meter_h")
    }  # service hours
    assert (
        machine_json(machine_from_json(json.dumps(after), "again"))
        == json.dumps(after, indent=2, ensure_ascii=False) + "\n"
    )
    assert (
        after["running_gear"]["pitch"] == "190.5 mm"
    )  # 7 1/2 in x 25.4 mm (international yard and pound agreement, 1959)
    assert "7 1/2 in" in Machine.objects.get(pk=full.pk).file_text


@pytest.mark.parametrize("slug", [one.slug for one in OWN])
def test_a_form_sent_as_it_stands_changes_nothing(client, full, slug):
    address = f"/machines/{full.pk}/all/{slug}/"
    page = client.post(address, fields_on(client.get(address)), follow=True)
    assert "Nothing was changed." in page.content.decode()
    full.refresh_from_db()
    assert full.version == 1


WRONG = {
    "mass": {"mass": "heavy"},
    "hours": {
        "week_usual": "many", "week_low": "40", "travelling": "130", "meter_changes-0-date": "yesterday",
        "meter_changes-0-old_h": "-1", "meter_changes-1-new_h": "5",
    },
    "history": {
        "history-0-what": "", "history-0-position": "9", "history-0-hours": "long ago", "history-0-date": "1 May",
        "history-1-what": "rebuilt", "history-0-part": "guard",
    },
    "ground": {
        "share_harsh": "110", "spans-0-to_h": "0", "spans-0-ground": "", "named-0-name": "moon dust", "named-0-share": "120",
    },
    "ranges": {"ranges-0-least": "soft", "ranges-0-most": "10 mm", "ranges-1-most": "5 mm"},
    "lives": {"kind_lives-0-typical_life_h": "0", "kind_lives-0-log_spread": "9"},
    "lines": {
        "limits-0-between": "59 mm", "limits-0-turn_at": "120", "limits-0-doubt_of_new": "a bit", "limits-0-tip_width": "-3 mm",
    },
    "tools": {"tools-0-name": "", "tools-0-resolution": "fine", "tools-0-permitted_error": "-1 mm", "tools-1-label": "x"},
    "calls": {"booking_window_weeks": "200", "book_chance": "0", "stop_chance": "sure"},
}  # fmt: skip
CASES = [(slug, name, text) for slug, fields in WRONG.items() for name, text in fields.items()]


@pytest.mark.parametrize(("slug", "name", "text"), CASES)
def test_a_wrong_value_is_told_at_its_field(client, full, slug, name, text):
    """Done-when 4 of issue 14: what was typed stays typed, nothing is saved, and the words are of the form."""
    address = f"/machines/{full.pk}/all/{slug}/"
    answer = client.post(address, fields_on(client.get(address)) | {name: text})
    assert answer.status_code == 400
    filled = answer.context["filled"]
    wrong = {one.add_prefix(field): errors for one in filled.forms for field, errors in one.errors.items()}
    line = name.rpartition("-")[0]
    assert (
        [one for one in wrong if one == name or (line and one.startswith(f"{line}-")) or not line]
        == list(wrong)
        != []
    )
    assert not answer.context["problems"]
    told = html.unescape(answer.content.decode())
    assert "entry 1" not in told
    assert "machine file" not in re.sub(r"<[^>]*>", "", told)
    assert fields_on(answer)[name] == text
    full.refresh_from_db()
    assert full.version == 1


def test_an_emptied_line_is_taken_out_and_more_lines_come_on_asking(client, full):
    address = f"/machines/{full.pk}/all/history/"
    sent = fields_on(client.get(address))
    more = client.post(address, sent | {"more": "history", "history-1-what": "rebuilt"})
    assert "history-5-what" in more.content.decode()
    assert fields_on(more)["history-1-what"] == "rebuilt"
    bare = {
        name: "" if name.startswith("history-") and name != "history-lines" else text
        for name, text in sent.items()
    }
    client.post(address, bare)
    full.refresh_from_db()
    assert "history" not in json.loads(full.file_text)


def test_saving_is_told_in_the_trail_and_undone(client, full):
    address = f"/machines/{full.pk}/all/ranges/"
    page = client.post(address, fields_on(client.get(address)) | {"ranges-0-least": "22 mm"}, follow=True)
    change = Change.objects.get(machine_id=full.pk, what="machine file")
    assert (change.why, '"least": "22 mm"' in change.after) == ("Ranges of settings", True)
    assert "22 mm" in page.content.decode()
    client.post(re.search(r"/undo/[0-9a-f-]+/", page.content.decode())[0])
    full.refresh_from_db()
    assert json.loads(full.file_text)["ranges"][0]["least"] == "20 mm"


def test_somebody_elses_change_stands_and_what_was_typed_stays_typed(client, full):
    address = f"/machines/{full.pk}/all/mass/"
    sent = fields_on(client.get(address))
    client.post(address, sent | {"mass": "21 t"})
    answer = client.post(address, sent | {"mass": "22 t"})
    assert answer.status_code == 409
    assert fields_on(answer)["mass"] == "22 t"
    full.refresh_from_db()
    assert '"21 t"' in full.file_text


def test_the_page_of_all_of_it_says_what_stands_and_leads_to_each_form(client, full, words):
    page = client.get(f"/machines/{full.pk}/all/")
    text = html.unescape(words(page))
    for one in SECTIONS:
        assert str(one.title) in text
        assert str(one.unlocks) in text
    for said in ("20.3 t", "INV-1", "EUR 48,000", "20 mm to 40 mm; source: invented", "100 % of the hours"):
        assert said in text, said


def test_before_the_running_gear_only_the_machine_itself_can_be_said(client, actor):
    machine = Machine.objects.create(business=actor.business, short_name="n1", name="New one", kind="dozer")
    text = client.get(f"/machines/{machine.pk}/all/").content.decode()
    assert f"/machines/{machine.pk}/gear/" in text
    assert "Once its running gear is entered" in text
    assert client.get(f"/machines/{machine.pk}/all/history/")["Location"] == f"/machines/{machine.pk}/gear/"
    assert client.get(f"/machines/{machine.pk}/all/nothing/").status_code == 404


def test_a_section_leads_back_to_the_page_that_asked_for_it(client, full):
    """Mass is asked for by ground fit: once it is saved, one stands there again; another site's address is left aside."""
    ground, form = f"/machines/{full.pk}/ground/", f"/machines/{full.pk}/all/mass/"
    assert f'name="next" value="{ground}"' in client.get(f"{form}?next={ground}").content.decode()
    all_of_it = f"/machines/{full.pk}/all/"
    for mass, goal, leads in (("21 t", ground, ground), ("22 t", "https://elsewhere.invalid/", all_of_it)):
        answer = client.post(form, fields_on(client.get(form)) | {"mass": mass, "next": goal})
        assert answer.status_code == 302
        assert answer.url.startswith(leads)
