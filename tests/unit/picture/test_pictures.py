"""Every view of every machine: well-formed, inside its edges, no text on text, read without colour or eyes, pinned."""

import itertools
import re
from dataclasses import replace
from pathlib import Path

import pytest
from defusedxml import ElementTree

from pitchline.picture.ink import _DARK, _LIGHT, Tone
from pitchline.picture.part import part_board, part_svg
from pitchline.picture.plan import plan_board, plan_svg
from pitchline.picture.png import png_bytes
from pitchline.picture.record import record_board, record_svg
from pitchline.picture.side import side_board, side_svg
from pitchline.picture.strip import Strip, StripRow, StripStop, strip_board, strip_svg
from pitchline.picture.views import VIEWS, Wanted, drawn
from pitchline.picture.yard import yard_board, yard_svg
from pitchline.trade.calls import Call
from pitchline.trade.errors import NotAllowedError
from pitchline.trade.findings import CONSEQUENCES, Finding, FindingKind, Severity
from pitchline.trade.ground import GroundClass, GroundSpan
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Place, Side
from pitchline.trade.units import UnitSystem
from pitchline.verdict import HoursLeft

SVG = "{http://www.w3.org/2000/svg}"
VERDICT_VIEWS = [view for view in VIEWS if view != "hours-line"]
"""All but the strip, which needs a plan of stops and has its tests beside the plan's."""
PINNED = Path(__file__).parents[2] / "data" / "picture"
WIDTHS = (360, 700, 1000, 1600)
SPANS = (GroundSpan(0.0, 2000.0, GroundClass.SHARP),)


def clean(board):
    """No line of text lies on another or leaves the paper."""
    met = [(one.words, two.words) for one, two in itertools.combinations(board.texts, 2) if one.meets(two)]
    outside = [box.words for box in board.texts if box.left < 0 or box.right > board.width]
    return met, outside


def boards(verdict, width, units):
    """Every view of one machine before it becomes text."""
    for side in (Side.LEFT, Side.RIGHT):
        yield side_board(verdict, side, width, units, "s")[0]
    yield plan_board(verdict, width, units, "p")[0]
    for kind in dict.fromkeys(part.place.part for part in verdict.parts):
        yield part_board(verdict, kind, 0, width, units, "q")[0]
    for part in verdict.parts:
        if part.place.position in (0, 1):
            for judged in part.judged:
                yield record_board(verdict, part.place, judged.measurand, SPANS, width, units, "r")[0]


@pytest.mark.parametrize("units", UnitSystem)
@pytest.mark.parametrize("width", WIDTHS)
def test_no_text_lies_on_text_in_the_whole_demo_yard(yard, width, units):
    for verdict in yard:
        for board in boards(verdict, width, units):
            assert clean(board) == ([], []), verdict.machine.name
    assert clean(yard_board(yard, width, "y")[0]) == ([], [])


@pytest.mark.parametrize("width", WIDTHS)
def test_extremes_come_out_well(extremes, width):
    for verdict in extremes:
        for board in boards(verdict, width, UnitSystem.METRIC):
            assert clean(board) == ([], []), verdict.machine.name


def test_side_elevation_is_small_and_has_every_link_and_roller(yard):
    for verdict in yard:
        for side in (Side.LEFT, Side.RIGHT):
            text = side_svg(verdict, side, 1600)
            assert len(text.encode()) < 60_000
            root = ElementTree.fromstring(text)
            shape = "link" if verdict.gear.has_chain else "lug"
            used = [one for one in root.iter(f"{SVG}use") if one.get("href") == f"#side-{shape}"]
            assert len(used) == verdict.gear.joints_per_side
            ids = {one.get("id") for one in root.iter(f"{SVG}g")}
            for place in verdict.gear.places():
                drawn_at_side = place.side is side and place.part not in (PartKind.GUARD, PartKind.FINAL_DRIVE)
                if drawn_at_side and not (place.part is PartKind.SHOE and verdict.gear.has_pads):
                    assert f"side-{place.key.replace('/', '-').replace('_', '-')}" in ids


def test_every_part_is_told_to_those_who_cannot_see_it(plain):
    root = ElementTree.fromstring(side_svg(plain, Side.LEFT))
    assert root.get("role") == "img"
    named = {one.get("id") for one in root.iter()} - {None}
    assert set(root.get("aria-labelledby").split()) <= named
    parts = [one for one in root.iter(f"{SVG}g") if one.get("role") == "img"]
    assert all(one.find(f"{SVG}title").text == one.get("aria-label") for one in parts)
    titles = [one.get("aria-label") for one in parts]
    assert "bottom roller\u00a05, left: stop · leak" in titles
    assert any(title.startswith("bushes, left: book · 190") for title in titles)
    assert "stop · leak" in root.find(f"{SVG}desc").text


def test_calls_are_told_by_hatch_and_word_not_by_colour_alone(plain):
    root = ElementTree.fromstring(side_svg(plain, Side.LEFT))
    groups = {one.get("id"): one for one in root.iter(f"{SVG}g")}

    def fills(name):
        return {one.get("class") for one in groups[f"side-{name}"].iter()}

    assert "stop" in fills("bottom-roller-left-5")
    assert "solid" in fills("bottom-roller-left-4")
    assert "book" in {one.get("class") for one in groups["side-bush"].iter()}
    style = root.find(f"{SVG}style").text
    for call in ("book", "stop"):
        assert re.search(rf"\.side \.{call}{{fill:url\(#side-{call}\)", style)
    words = [one.text for one in root.iter(f"{SVG}text")]
    assert {"stop", "leak", "run"} <= set(words)


def test_tones(plain):
    assert "prefers-color-scheme:dark" in side_svg(plain, Side.LEFT)
    dark = side_svg(plain, Side.LEFT, tone=Tone.DARK)
    assert _DARK["paper"] in dark
    assert _LIGHT["paper"] not in dark
    assert "@media" not in dark


def test_left_side_is_seen_with_its_front_to_the_left(plain):
    """The idler stands left of the sprocket on the left side, right of it on the right side."""
    for side, sign in ((Side.LEFT, -1), (Side.RIGHT, 1)):
        root = ElementTree.fromstring(side_svg(plain, side))
        at = {
            part: float(
                next(g for g in root.iter(f"{SVG}g") if g.get("id") == f"side-{part}")
                .find(f"{SVG}circle")
                .get("cx")
            )
            for part in (f"idler-{side.value}-1", f"sprocket-{side.value}")
        }
        idler, sprocket = at.values()
        assert (idler - sprocket) * sign > 0


def test_side_elevation_is_to_scale(plain):
    """Centre distance over roller tread on the paper is what it is in metres."""
    root = ElementTree.fromstring(side_svg(plain, Side.RIGHT))
    groups = {one.get("id"): one for one in root.iter(f"{SVG}g")}
    one, two = (groups[f"side-upper-roller-right-{n}"].find(f"{SVG}circle") for n in (1, 2))
    apart = float(one.get("cx")) - float(two.get("cx"))
    tread = 2 * float(one.get("r"))
    size = plain.parts[[p.place.key for p in plain.parts].index("upper_roller/right/1")].judged[0].value_m
    (centres,) = [
        text.text.removeprefix("wheel centres ")
        for text in root.iter(f"{SVG}text")
        if (text.text or "").startswith("wheel centres ")
    ]
    metres = float(centres.replace(",", "").split("\u00a0")[0]) / 1e3
    assert apart / tread == pytest.approx(metres / 3 / size, rel=0.03)


@pytest.mark.parametrize("kind", list(dict.fromkeys([*PartKind])))
def test_part_sheet_has_both_sides_or_says_there_is_none(plain, kind):
    if not any(part.place.part is kind for part in plain.parts):
        with pytest.raises(NotAllowedError):
            part_svg(plain, kind)
        return
    root = ElementTree.fromstring(part_svg(plain, kind))
    groups = [one.get("id") for one in root.iter(f"{SVG}g") if one.get("role") == "img"]
    assert len(groups) == (1 if kind is PartKind.SLEW_RING else 2)


def test_part_sheet_says_reading_tool_and_factor(plain):
    words = " ".join(one.text for one in ElementTree.fromstring(part_svg(plain, PartKind.BUSH)).iter(f"{SVG}text"))
    assert "57.5\u00a0mm ±\u00a00.6\u00a0mm" in words
    assert "with calliper: 57.5\u00a0mm" in words
    assert "New 60.0\u00a0mm, limit 54.5\u00a0mm" in words
    assert re.search(r"drawn \d+ times as large|true scale", words)


def test_part_sheet_takes_the_worst_roller_or_the_one_asked_for(plain):
    assert "bottom roller\u00a05, left" in part_svg(plain, PartKind.BOTTOM_ROLLER)
    assert "bottom roller\u00a02, left" in part_svg(plain, PartKind.BOTTOM_ROLLER, 2)
    with pytest.raises(NotAllowedError, match="bottom roller 9"):
        part_svg(plain, PartKind.BOTTOM_ROLLER, 9)


def test_record_shows_each_reading_with_its_doubt_and_the_fan(plain):
    place = Place(PartKind.BUSH, Side.LEFT)
    root = ElementTree.fromstring(record_svg(plain, place, Measurand.BUSH_OD_FORWARD, SPANS))
    titles = [one.get("aria-label") for one in root.iter(f"{SVG}g") if one.get("role") == "img"]
    assert sum("1,620 h" in title or "2,380 h" in title for title in titles) == 2
    assert any(title.startswith("8 in 10") for title in titles)
    words = [one.text for one in root.iter(f"{SVG}text")]
    assert {"turn", "today", "sharp ground"} <= set(words)


@pytest.mark.parametrize(
    ("kind", "what", "grows"),
    [(PartKind.CHAIN, Measurand.PITCH, True), (PartKind.LINK, Measurand.RAIL_HEIGHT, False)],
)
def test_record_is_drawn_in_the_direction_things_wear(plain, kind, what, grows):
    """The larger size is above (y grows downwards): a pitch climbs to its limit, a rail wears down to it."""
    root = ElementTree.fromstring(record_svg(plain, Place(kind, Side.LEFT), what))
    lines = {one.get("class"): one.get("d") for one in root.iter(f"{SVG}path")}
    at = {name: float(lines[name].split()[1].partition("L")[0]) for name in ("new", "limit")}
    assert (at["limit"] < at["new"]) is grows


def test_record_of_nothing_is_refused(plain):
    with pytest.raises(NotAllowedError):
        record_svg(plain, Place(PartKind.PAD, Side.LEFT), Measurand.PAD_HEIGHT)


def strip():
    """An invented plan."""
    return Strip(
        "Number 7: plan for 4,000 h",
        4000.0,
        (StripStop(0.0, "now"), StripStop(400.0, "mid Feb 2027"), StripStop(2300.0)),
        (
            StripRow("bushes, both sides", HoursLeft(20.0, 190.0, 480.0, 0.1), ((1, "turn"),)),
            StripRow("bottom roller 5, left", None, ((0, "replace"),)),
            StripRow("sprockets", HoursLeft(1400.0, 2400.0, 9000.0, 0.0), ((2, "replace"),)),
            StripRow("shoes", HoursLeft(5000.0, 6000.0, 7000.0, 0.0)),
        ),
    )


@pytest.mark.parametrize("width", [320, 360, 1000])
def test_strip_marks_every_job_at_its_stop(width):
    board, _, told = strip_board(strip(), width, "t")
    assert clean(board) == ([], [])
    root = ElementTree.fromstring(strip_svg(strip(), width))
    titles = [one.get("aria-label") for one in root.iter(f"{SVG}g") if one.get("role") == "img"]
    assert titles == [
        "bushes, both sides: turn at lay-up 2", "bottom roller 5, left: replace at lay-up 1", "sprockets: replace at lay-up 3",
    ]  # fmt: skip
    assert "turn at lay-up 2" in told


@pytest.mark.parametrize(
    "wrong", [Strip("x", 0.0, (), ()), Strip("x", 10.0, (), (StripRow("a", None, ((0, "turn"),)),))]
)
def test_strip_of_nothing_is_refused(wrong):
    with pytest.raises(NotAllowedError):
        strip_svg(wrong)


def test_yard_has_what_falls_due_first_on_top(yard):
    root = ElementTree.fromstring(yard_svg(yard))
    rows = [one.get("aria-label") for one in root.iter(f"{SVG}g") if one.get("role") == "img"]
    assert len(rows) == len(yard)
    days = {verdict.as_of for verdict in yard}
    (said,) = [one.text for one in root.iter(f"{SVG}text") if (one.text or "").startswith("Judged for")]
    assert (" to " in said.partition(".")[0]) is (len(days) > 1)
    ranks = [next(v.call.rank for v in yard if row.startswith(v.machine.name)) for row in rows]
    assert ranks == sorted(ranks, reverse=True)
    with pytest.raises(NotAllowedError):
        yard_svg([])


def test_views_by_word(yard):
    gorse = next(verdict for verdict in yard if verdict.machine.machine_id == "07-gorse")
    for view in VERDICT_VIEWS:
        ElementTree.fromstring(drawn([gorse], Wanted(view)))
    with pytest.raises(NotAllowedError):
        drawn([gorse], Wanted("front"))
    with pytest.raises(NotAllowedError):
        drawn([gorse], Wanted("record", part=PartKind.GUARD))


@pytest.mark.parametrize("width", [320, 1200])
def test_a_drawing_by_itself_says_that_it_is_no_licence_inside_its_edges(plain, width):
    """Seen on the drawing's last lines and told to a screen reader; in a page or paper, which says so itself, it is left out."""
    for view in VERDICT_VIEWS:
        svg = drawn([plain], Wanted(view, part=PartKind.BUSH, width=width))
        root = ElementTree.fromstring(svg)
        texts = [one for one in root if one.tag == f"{SVG}text"]
        last = " ".join(one.text or "" for one in texts[-4:])
        assert last.endswith("The maker's manual, local codes and a competent person come first.")
        assert float(texts[-1].get("y")) < float(root.get("height")) == float(root.get("viewBox").split()[3])
        assert "competent person" in root.find(f"{SVG}desc").text
    assert "competent person" not in side_svg(plain, Side.LEFT)


def test_names_cannot_break_the_drawing(plain):
    odd = replace(plain, machine=replace(plain.machine, name='<b> & "7"'))
    for view in VERDICT_VIEWS:
        root = ElementTree.fromstring(drawn([odd], Wanted(view, part=PartKind.BUSH)))
        assert any('<b> & "7"' in (one.text or "") for one in root.iter())


def test_png_has_the_size_and_the_letters(plain):
    """PNG signature and IHDR width (ISO/IEC 15948); text is there: without letters the picture would be the same as with none."""
    svg = side_svg(plain, Side.LEFT, 800, tone=Tone.LIGHT)
    png = png_bytes(svg, 1.0)
    assert png[:8] == b"\x89PNG\r\n\x1a\n"
    assert int.from_bytes(png[16:20]) == 800
    assert png != png_bytes(re.sub(r"<text.*?</text>", "", svg), 1.0)


PICTURES = {
    "side-left": lambda plain: side_svg(plain, Side.LEFT),
    "part-bush": lambda plain: part_svg(plain, PartKind.BUSH),
    "record-bush": lambda plain: record_svg(
        plain, Place(PartKind.BUSH, Side.LEFT), Measurand.BUSH_OD_FORWARD, SPANS
    ),
    "plan": plan_svg,
}


@pytest.mark.parametrize("name", PICTURES)
def test_drawing_is_as_it_was_when_last_looked_at(plain, name, request):
    """Pinned after looking at it; `pytest --renew-drawings` writes what is drawn now, to be looked at again."""
    pinned = PINNED / f"{name}.svg"
    if request.config.getoption("renew_drawings"):
        pinned.write_text(PICTURES[name](plain), encoding="utf-8")
    assert PICTURES[name](plain) == pinned.read_text(encoding="utf-8")


def test_a_drawing_for_paper_is_light_on_white(plain):
    paper = side_svg(plain, Side.LEFT, tone=Tone.PAPER)
    assert ".paper{fill:#fff" in paper
    assert _LIGHT["accent"] in paper
    assert "@media" not in paper


def test_reading_held_back_is_neither_drawn_nor_told_as_a_size(plain):
    """460 mm typed for 46: until somebody answers it is no size of the part."""
    place = Place(PartKind.BOTTOM_ROLLER, Side.LEFT, 5)
    parts = tuple(
        replace(part, judged=tuple(replace(one, status="held back", value_m=9.99) for one in part.judged))
        if part.place == place
        else part
        for part in plain.parts
    )
    svg = side_svg(replace(plain, parts=parts), Side.LEFT)
    assert "9,990" not in svg.replace("\u00a0", " ")


def test_brief_drawings_of_the_papers_have_no_text_on_text(yard, extremes):
    for verdict in (*yard, *extremes):
        for board in brief_boards(verdict):
            assert clean(board) == ([], []), verdict.machine.name


def brief_boards(verdict):
    yield side_board(verdict, Side.LEFT, 900, UnitSystem.METRIC, "s", brief=True)[0]
    for kind in dict.fromkeys(part.place.part for part in verdict.parts):
        yield part_board(verdict, kind, 0, 440, UnitSystem.IMPERIAL, "q", brief=True)[0]
    for part in verdict.parts:
        for judged in part.judged:
            yield record_board(verdict, part.place, judged.measurand, (), 440, UnitSystem.METRIC, "r", brief=True)[
                0
            ]


def test_course_of_wear_is_drawn_past_and_ahead_with_the_turn_line(plain):
    """Places on the paper from the course's own figures: today's upright is where both ways meet."""
    place = Place(PartKind.BUSH, Side.LEFT)
    root = ElementTree.fromstring(record_svg(plain, place, Measurand.BUSH_OD_FORWARD))
    groups = {one.get("id"): one for one in root.iter(f"{SVG}g")}
    ways = {
        name: [tuple(map(float, spot.split())) for spot in path.strip("M").split("L")]
        for name in ("past", "fan")
        for path in [groups[f"record-{name}"].findall(f"{SVG}path")[1].get("d")]
    }
    assert ways["past"][-1] == ways["fan"][0]
    assert len(ways["past"]) == 3
    assert [x for x, _ in ways["past"]] == sorted(x for x, _ in ways["past"])
    assert any(one.get("class") == "turn" for one in root.iter(f"{SVG}path"))
    assert "turn 57.2\u00a0mm" in [one.text for one in root.iter(f"{SVG}text")]


def called(verdict, place, call=Call.STOP):
    """The same verdict with one part called."""
    kind = next(kind for kind in FindingKind if place.part in CONSEQUENCES[kind].parts)
    finding = Finding(place, kind, Severity.SEVERE)
    parts = tuple(
        replace(part, call=call, findings=(finding,)) if part.place == place else part for part in verdict.parts
    )
    return replace(verdict, parts=parts)


@pytest.mark.parametrize("width", [360, 1200])
@pytest.mark.parametrize("kind", [PartKind.FINAL_DRIVE, PartKind.TRACK_ADJUSTER, PartKind.GUARD])
def test_what_is_drawn_plain_is_told_once_it_is_called(yard, kind, width):
    """A stop on a final drive, adjuster or guard stands in the elevation's own words, at any width."""
    names = {
        PartKind.FINAL_DRIVE: "final drive",
        PartKind.TRACK_ADJUSTER: "track adjuster",
        PartKind.GUARD: "guards",
    }
    gorse = next(verdict for verdict in yard if verdict.machine.machine_id == "07-gorse")
    whole = replace(gorse, parts=tuple(replace(part, call=Call.RUN, findings=()) for part in gorse.parts))
    board, _, _ = side_board(called(whole, Place(kind, Side.LEFT)), Side.LEFT, width, UnitSystem.METRIC, "s")
    words = [box.words for box in board.texts]
    assert names[kind] in words
    assert any(word.startswith("stop · ") for word in words)
    assert clean(board) == ([], [])


def test_a_called_final_drive_is_hatched_on_the_sprockets_hub(plain):
    drive = called(plain, Place(PartKind.FINAL_DRIVE, Side.LEFT))
    root = ElementTree.fromstring(side_svg(drive, Side.LEFT))
    sprocket = next(one for one in root.iter(f"{SVG}g") if one.get("id") == "side-sprocket-left")
    assert sprocket.find(f"{SVG}circle").get("class") == "stop"


def test_worn_parts_are_shown_large_under_the_elevation_most_pressing_first(plain):
    root = ElementTree.fromstring(side_svg(plain, Side.LEFT))
    details = [one.get("id") for one in root.iter(f"{SVG}g") if (one.get("id") or "").startswith("side-detail-")]
    assert details[:2] == ["side-detail-bottom-roller-left-5", "side-detail-bush-left"]
    words = " ".join(one.text for one in root.iter(f"{SVG}text"))
    for said in ("wear limit", "worn away", "bush outside diameter,", "57.5\u00a0mm, new\u00a060.0\u00a0mm"):
        assert said in words


def test_both_sides_of_a_part_sheet_have_their_loss_drawn_alike(yard):
    """One factor for left and right, or a worn side looks less worn than the other."""
    for verdict in yard:
        for kind in dict.fromkeys(part.place.part for part in verdict.parts):
            root = ElementTree.fromstring(part_svg(verdict, kind, width=1000))
            factors = [
                one.text for one in root.iter(f"{SVG}text") if re.search("times as large|true scale", one.text)
            ]
            assert len(set(factors)) <= 1


@pytest.mark.parametrize("width", [360, 1000])
def test_shoe_width_is_marked_from_edge_to_edge(plain, width):
    """The mark is as long as the gauge's mark times shoe width over gauge, both as the drawing says them."""
    root = ElementTree.fromstring(plan_svg(plain, width))
    uprights = []
    for one in root.iter(f"{SVG}path"):
        spots = re.fullmatch(r"M([\d.]+) ([\d.]+)L\1 ([\d.]+)", one.get("d"))
        if one.get("class") == "fine" and spots:
            uprights.append(float(spots[3]) - float(spots[2]))
    gauge, shoes = max(uprights), sorted(uprights)[-2]
    words = [one.text for one in root.iter(f"{SVG}text")]
    said = {name: words[words.index(name) + 1] for name in ("track gauge*", "shoes")}
    mm = {name: float(text.split("\u00a0")[0].replace(",", "")) for name, text in said.items()}
    assert shoes / gauge == pytest.approx(mm["shoes"] / mm["track gauge*"], rel=0.01)


def test_length_over_all_is_the_same_in_every_view(yard):
    for verdict in yard:
        said = [
            {
                one.text
                for one in ElementTree.fromstring(svg).iter(f"{SVG}text")
                if (one.text or "").startswith("over all")
            }
            for svg in (side_svg(verdict, Side.LEFT, 1600), plan_svg(verdict, 1200))
        ]
        assert said[0] == said[1]
        assert len(said[0]) == 1


def test_stops_are_no_wear_limits_and_jobs_have_their_word():
    root = ElementTree.fromstring(strip_svg(strip()))
    assert "limit" not in {one.get("class") for one in root.iter(f"{SVG}path")}
    words = [one.text for one in root.iter(f"{SVG}text")]
    assert words.count("replace") == 2
    assert "turn" in words


@pytest.mark.parametrize(("before", "now"), [("plan", "above"), ("yard", "chart")])
def test_views_by_their_words_of_before(plain, before, now):
    assert drawn([plain], Wanted(before)) == drawn([plain], Wanted(now))
