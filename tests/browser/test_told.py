"""The phone's table and script say of a reading what the desk says online: share, doubt, whether held, and the figure offered."""

import gettext
import json
from pathlib import Path
from urllib.parse import urlsplit

import pytest

import made_up
from blank_rounds import COUNTS, at_the_desk, round_told
from pitchline.desk import pocket
from pitchline.desk.pocket.blanks import blanks_of
from pitchline.trade.machine import TrackKind
from pitchline.trade.writing import Writing, writing
from pitchline.words import catalogue
from told_rounds import Told, grid, machines, odd_ones, rounds, settings

FOLDER = Path(pocket.__file__).parent / "static" / "pocket"
WAYS = [Writing(), Writing(numbers="comma"), Writing(numbers="space")]


@pytest.fixture(scope="module")
def ask(browser):
    """Functions of a script of the app by name, on a page that has nothing else."""
    context = browser.new_context()
    page = context.new_page()

    def answer(route):
        file = FOLDER / urlsplit(route.request.url).path[1:]
        if file.is_file():
            route.fulfill(path=file, content_type="text/javascript")
        else:
            route.fulfill(body="<!doctype html><title>stage</title>", content_type="text/html")

    page.route("**/*", answer)
    page.goto("http://stage.invalid/")

    def run(script, given):
        whole = f"async (text) => {{ const given = JSON.parse(text); {script} }}"
        return json.loads(page.evaluate(whole, json.dumps(given)))

    yield run
    context.close()


TELL = """
  const { tell } = await import("/told.js");
  return JSON.stringify(given.rounds.map((typed) => tell(given.book, given.lines, typed)));
"""


def _told(ask, one, typed):
    return ask(TELL, {"book": one.book, "lines": one.lines, "rounds": typed})


def _differences(ask, one, typed):
    """Where the phone says another thing than the desk, and how many readings, doubts and kinds of doubt there were."""
    found, codes, count = [], set(), 0
    for fields, answers in zip(typed, _told(ask, one, typed), strict=True):
        for key, online in one.online(fields).items():
            said = answers[key]
            count += 1
            if online is None or said["unread"]:
                if online is not None or not said["unread"]:
                    found.append((key, fields[key], online, said))
                continue
            doubts = [
                {name: doubt[name] for name in ("said", "held", "put", "put_said")} for doubt in said["doubts"]
            ]
            codes |= {doubt["code"] for doubt in said["doubts"]}
            is_held = any(doubt["held"] for doubt in doubts)
            told = is_held or online["used"] is None or abs(max(online["used"], 0.0) - said["used"]) <= 1.0
            sure = not is_held and online["used"] is not None and abs(online["used"] - 100.0) > 0.5
            is_past = any(word in said["said"] for word in ("past", made_up.cyrillic("past")))
            told = told and (not sure or said["past"] == is_past == (online["used"] > 100.0))
            if doubts != online["doubts"] or not told or (is_held and said["said"]):
                found.append((key, fields[key], online, said))
    return found, codes, count


def test_the_phone_says_of_a_reading_what_the_desk_says_online(ask):
    """Strictly the same words; a reading within 0.2 points of a threshold on a curved line could differ, and none here is."""
    found, codes, count = [], set(), 0
    for number, (dossier, round_of) in enumerate(machines()):
        with writing(WAYS[number % 3]):
            one = Told(dossier, round_of)
            typed = [*grid(one), *settings(one), *odd_ones(one), *rounds(one, 8)]
            wrong, met, many = _differences(ask, one, typed)
        found, codes, count = found + wrong, codes | met, count + many
    assert not found, (len(found), count, found[:3])
    assert count > 10_000
    assert codes >= {
        "repeats_apart", "no_machine_shows", "one_joint_too_long", "each_joint_too_long", "each_joint_too_short",
        "too_large", "too_small", "less_wear", "unlike_beside", "sides_apart", "far_more_worn", "well_past",
        "more_than_it_can_show", "far_from_range",
    }  # fmt: skip


class Wide(gettext.NullTranslations):
    """The made-up language, without its file."""

    def gettext(self, message):
        """The text in other letters."""
        return made_up.cyrillic(message)

    def ngettext(self, msgid1, msgid2, n):
        """The text of one or of several in other letters."""
        return made_up.cyrillic(msgid1 if n == 1 else msgid2)


def test_the_phone_speaks_the_language_of_the_business(ask, monkeypatch):
    monkeypatch.setattr(catalogue, "_catalogue", lambda _: Wide())
    with writing(Writing(language=made_up.CODE)):
        one = Told(*machines()[-1])
        typed = [*rounds(one, 8)]
        found, codes, _ = _differences(ask, one, typed)
        assert not found, found[:3]
        assert len(codes) > 5
        told = [each["said"].replace(" mm", "") for answers in _told(ask, one, typed) for each in answers.values()]
    assert any(told)
    assert not any(map(made_up.PLAIN.search, told))


ROUND = """
  const { askedOf, roundOf, tracksOf } = await import("/blank.js");
  const { tell } = await import("/told.js");
  const made = given.cases.map(([track, counts]) => roundOf(given.blanks, track, counts));
  const linesOf = ({ places }) => places.flatMap(({ readings }) => readings.map((one) => [one.key, one.told]));
  const lines = made.map((one) => Object.fromEntries(linesOf(one)));
  const answers = made.map(({ told }, number) => tell(told, lines[number], given.typed));
  const asked = tracksOf(given.blanks).map(([track]) => askedOf(given.blanks, "excavator", track));
  return JSON.stringify({ made, answers, asked });
"""


def test_the_phone_makes_the_round_of_a_new_machine_as_the_desk_does_of_the_same_counts(ask):
    cases = [(track.value, counts) for track in TrackKind for counts in COUNTS]
    texts = ("151", "15.1", "150.5", "151.5")
    typed = {f"bottom_roller/left/{n}:tread_diameter": {"1": text} for n, text in enumerate(texts, 1)}
    answer = ask(ROUND, {"blanks": blanks_of("mm", round_told), "cases": cases, "typed": typed})
    for (track, counts), made, answers in zip(cases, answer["made"], answer["answers"], strict=True):
        assert _bare(made["places"]) == _bare(at_the_desk(track, counts)["places"])
        assert made["told"]["joints"] == int(counts["joints_per_side"])
        if counts["bottom_rollers_per_side"] > "4":
            (doubt,) = answers["bottom_roller/left/2:tread_diameter"]["doubts"]
            assert (doubt["held"], doubt["put"]) == (True, {"1": "151.0"})
    for asked in answer["asked"]:
        usual = {one["field"]: one["usual"] for one in asked}
        assert usual["slew_ring"] == "on"
        assert {"joints_per_side", "layout", "bottom_rollers_per_side", "upper_rollers_per_side"} <= usual.keys()


def _bare(places):
    """Places without where they stand in a drawing, which a new machine has none of, and without what a reading is told by."""
    return [
        place | {"spot": "", "readings": [reading | {"told": None} for reading in place["readings"]]}
        for place in json.loads(json.dumps(places))
    ]
