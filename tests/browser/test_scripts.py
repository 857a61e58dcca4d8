"""Scripts of a walk-round each by itself, in a browser, on a small page of the test's own: no desk answers, none is asked."""

from pathlib import Path
from urllib.parse import urlsplit

import pytest

from pitchline.desk import walkround

FOLDER = Path(walkround.__file__).parent / "static" / "walkround"
SHARED = Path(walkround.__file__).parents[1] / "static"
LINES = """
<form><input name="head~unit" value="mm">
  <fieldset data-line="chain/left:pitch">
    <input name="a~1" data-box inputmode="decimal"><input name="a~2" data-box inputmode="decimal">
    <input name="a~unit" type="hidden" data-unit value="mm"><span class="unit">mm</span>
    <input name="a~v" type="hidden" value="3"><input name="a~send" type="hidden" value="own">
    <select name="a~tool" data-tool><option value="calliper"><option value="tape"></select>
    <input name="a~out" type="checkbox" value="cannot be reached" data-out>
  </fieldset>
  <fieldset data-line="chain/right:pitch">
    <input name="b~1" data-box value="810" inputmode="decimal">
    <input name="b~unit" type="hidden" data-unit value="mm"><span class="unit">mm</span>
    <select name="b~tool" data-tool><option value="calliper"><option value="tape"></select>
  </fieldset>
  <fieldset data-line="bush/right:pitch">
    <input name="c~1" data-box><select name="c~tool" data-tool><option value="calliper"><option value="tape"></select>
  </fieldset>
  <fieldset data-line="link/left:rail_height">
    <input name="d~1" data-box><select name="d~tool" data-tool><option value="calliper"><option value="tape"></select>
  </fieldset>
  <fieldset data-line="chain/left:leak">
    <input type="radio" name="e" value="slight"><input type="radio" name="e" value="severe" checked>
  </fieldset>
</form>
"""


@pytest.fixture(scope="module")
def stage(browser):
    """A phone that is given a page and the scripts of the walk-round, and nothing else."""
    context = browser.new_context(viewport={"width": 360, "height": 740})
    page = context.new_page()
    page.set_default_timeout(120_000)
    shown = {}

    def answer(route):
        name = urlsplit(route.request.url).path[1:]
        file = SHARED / name if name.startswith("desk/") else FOLDER / name
        if name and file.is_file():
            route.fulfill(path=file, content_type="text/javascript")
        elif name:
            route.abort()
        else:
            route.fulfill(body=f"<!doctype html><title>stage</title>{shown['body']}", content_type="text/html")

    page.route("**/*", answer)

    def make(body):
        shown["body"] = body
        page.set_viewport_size({"width": 360, "height": 740})
        page.goto("http://stage.invalid/")
        page.evaluate("localStorage.clear()")
        return page

    yield make
    context.close()


def run(page, script, *names):
    """The answer of a script that has functions of a file by name: `form.js fieldsOf`."""
    file, *names = names
    return page.evaluate(f"async () => {{ const {{ {', '.join(names)} }} = await import('/{file}'); {script} }}")


WATCHED = """
  window.told = [];
  watch(document.querySelector("form"), (key) => told.push(["typed", key]), (key) => told.push(["changed", key]));
"""

TIMERS = """
  window.timers = [];
  window.setTimeout = (act, ms) => timers.push({ act, ms }) - 1;
  window.clearTimeout = (number) => (timers[number] = null);
"""


def test_a_line_says_what_is_chosen_and_nothing_of_a_tick_that_is_off(stage):
    page = stage(LINES)
    script = (
        "return ['chain/left:pitch', 'chain/left:leak'].map((key) => fieldsOf(lineOf(document.forms[0], key)))"
    )
    typed = [["a~1", ""], ["a~2", ""], ["a~unit", "mm"], ["a~v", "3"], ["a~send", "own"], ["a~tool", "calliper"]]
    assert run(page, script, "form.js", "fieldsOf", "lineOf") == [typed, [["e", "severe"]]]
    page.locator("[name='a~out']").check()
    assert run(page, script, "form.js", "fieldsOf", "lineOf")[0] == [*typed, ["a~out", "cannot be reached"]]


def test_what_was_kept_goes_back_but_for_the_version_and_what_is_hidden(stage):
    script = """
      const [pitch, leak] = ["chain/left:pitch", "chain/left:leak"].map((key) => lineOf(document.forms[0], key));
      const kept = [["a~1", "31.9"], ["a~unit", "in"], ["a~v", "1"], ["a~send", "other"], ["a~tool", "tape"]];
      putBack(pitch, [...kept, ["a~out", "cannot be reached"]]);
      putBack(leak, [["e", "slight"]]);
      return [...fieldsOf(pitch), ...fieldsOf(leak)];
    """
    assert run(stage(LINES), script, "form.js", "fieldsOf", "lineOf", "putBack") == [
        ["a~1", "31.9"], ["a~2", ""], ["a~unit", "in"], ["a~v", "3"], ["a~send", "own"], ["a~tool", "tape"],
        ["a~out", "cannot be reached"], ["e", "slight"],
    ]  # fmt: skip


def test_a_line_is_open_until_it_is_read_or_said_to_be_out_of_reach(stage):
    page = stage(LINES)
    script = "const line = lineOf(document.forms[0], '{}'); return [isUnread(line), isOpen(line)]"

    def stands(key):
        return run(page, script.format(key), "form.js", "isOpen", "isUnread", "lineOf")

    assert stands("chain/left:pitch") == [True, True]
    page.locator("[name='a~out']").check()
    assert stands("chain/left:pitch") == [True, False]
    page.locator("[name='a~out']").uncheck()
    page.locator("[name='a~2']").fill("810")
    assert stands("chain/left:pitch") == [False, False]
    assert stands("chain/right:pitch") == [False, False]


def test_typing_is_told_at_once_and_sent_when_it_rests_or_the_field_is_left(stage):
    page = stage(LINES)
    page.evaluate(TIMERS)
    run(page, WATCHED, "form.js", "watch")
    page.locator("[name='a~1']").press_sequentially("81")
    typed, changed = ["typed", "chain/left:pitch"], ["changed", "chain/left:pitch"]
    assert page.evaluate("told") == [typed, typed]
    assert page.evaluate("timers.map((one) => one?.ms)") == [None, 1500]
    page.evaluate("timers[1].act()")
    assert page.evaluate("told") == [typed, typed, changed]
    page.locator("[name='a~1']").press_sequentially("0")
    page.locator("[name='d~1']").focus()
    assert page.evaluate("told.slice(3)") == [typed, typed, changed]
    assert page.evaluate("timers[2]") is None


def test_a_figure_takes_back_that_a_place_cannot_be_reached(stage):
    page = stage(LINES)
    run(page, WATCHED, "form.js", "watch")
    page.locator("[name='a~out']").check()
    page.locator("[name='a~1']").fill("810")
    assert not page.locator("[name='a~out']").is_checked()


def test_a_tool_is_offered_where_the_same_quantity_is_not_read_yet(stage):
    page = stage(LINES)
    run(page, WATCHED, "form.js", "watch")
    page.locator("[name='a~tool']").select_option("tape")
    tools = [page.locator(f"[name='{one}~tool']").input_value() for one in "abcd"]
    assert tools == ["tape", "calliper", "tape", "calliper"]
    assert page.evaluate("localStorage.getItem('tool pitch')") == "tape"


def test_another_unit_is_taken_by_lines_nobody_has_typed_in(stage):
    page = stage(LINES.replace('data-line="link', 'data-line="head:unit"></fieldset><fieldset data-line="link'))
    page.evaluate(
        "document.querySelector('[data-line=\"head:unit\"]').append(document.forms[0].elements['head~unit'])"
    )
    run(page, WATCHED, "form.js", "watch")
    page.locator("[name='head~unit']").fill("in")
    page.locator("[name='head~unit']").blur()
    assert page.locator("[data-unit]").evaluate_all("all => all.map((one) => one.value)") == ["in", "mm"]
    assert page.locator(".unit").all_inner_texts() == ["in", "mm"]
    modes = page.locator("[data-box]").evaluate_all("all => all.map((one) => one.inputMode)")
    assert modes[:3] == ["text", "text", "decimal"]


PATTERNS = """
<template data-pattern="reading"><fieldset data-line="0key0"><legend>0label0</legend>
  <label for="x-0key0">0label0, 0place0</label><input id="x-0key0" name="0key0~1" data-box>
  <span class="over-joints"><b data-bare></b><input data-joints></span><p class="previous"></p>
  <select><option value="calliper">calliper</option><option value="tape">tape</option></select>
  <details class="how"><summary>How 0label0 is read</summary><p></p></details></fieldset></template>
<template data-pattern="finding"><fieldset data-line="0key0"><legend>0label0</legend><i>how many</i></fieldset></template>
<template data-pattern="alone"><fieldset data-line="0key0"><legend>0label0</legend></fieldset></template>
<template data-pattern="counted"><fieldset data-line="0key0"><legend>0label0</legend><input data-many></fieldset></template>
<template data-pattern="counted-shoe"><fieldset data-line="0key0"><legend>0label0</legend><b>on one shoe</b></fieldset></template>
<template data-pattern="nothing"><input data-looked name="0key0"></template>
<template data-pattern="photos"><details><input name="send_id"></details></template>
<template data-hows><p data-how="pitch">over four joints</p><p data-how="camber">with a straight edge</p></template>
<form>
  <section class="stage"><h2>Chain, left</h2>
    <i data-mark="reading" data-key="chain/left:pitch" data-label="pitch" data-how="pitch" data-spans="Pitch" data-joints="4"
      >last time <b>810</b></i>
    <i data-mark="reading" data-key="chain/left:camber" data-label="camber" data-how="camber"></i>
    <i data-of="chain/left"
      data-marks="nothing:nothing cracked:finding flat:alone:flat_spot loose_bolts:counted missing_bolts:counted-shoe"></i>
    <i data-mark="photos" data-send="7"></i>
  </section>
  <section class="stage"><h2>Bushes, left</h2>
    <fieldset data-line="bush/left:pitch" data-label="bush size">
      <select data-short><option value="calliper" selected>calliper</option></select>
      <p data-how="camber"></p></fieldset>
    <button data-without-script>Save</button>
  </section>
</form>
"""


@pytest.fixture
def written(stage):
    """A page of two parts, its marks written out."""
    page = stage(PATTERNS)
    run(page, "writeOut(document)", "lines.js", "writeOut")
    return page


def test_each_mark_becomes_a_line_with_its_own_words(written):
    line = written.locator("[data-line='chain/left:pitch']")
    assert line.locator("legend").inner_text() == "Pitch"
    assert line.locator("label").inner_text() == "pitch, Chain, left"
    assert (
        line.locator("label").get_attribute("for")
        == line.locator("[data-box]").get_attribute("id")
        == "x-chain/left:pitch"
    )
    assert line.locator("[data-box]").get_attribute("name") == "chain/left:pitch~1"
    assert line.locator("[data-joints]").input_value() == "4"
    assert line.locator(".previous").inner_html() == "last time <b>810</b>"
    assert line.locator(".how").text_content() == "How pitch is readover four joints"
    assert written.locator("[data-line='chain/left:camber'] .over-joints").count() == 0
    assert written.locator("[name=send_id]").input_value() == "7"
    assert written.evaluate("document.querySelectorAll('[data-mark], [data-marks]').length") == 0
    assert "0key0" not in written.evaluate("document.forms[0].outerHTML")


def test_what_may_be_seen_on_a_part_becomes_a_line_each(written):
    lines = written.locator("[data-line^='chain/left:']").evaluate_all("all => all.map((one) => one.dataset.line)")
    seen = ("cracked", "flat", "loose_bolts", "missing_bolts")
    assert lines == [f"chain/left:{one}" for one in ("pitch", "camber", *seen)]
    assert written.locator("[data-line='chain/left:loose_bolts'] legend").inner_text() == "Loose bolts"
    assert written.locator("[data-line='chain/left:loose_bolts'] [data-many]").count() == 1
    assert written.locator("[data-line='chain/left:missing_bolts'] b").inner_text() == "on one shoe"
    assert written.locator("[data-line='chain/left:cracked'] i").count() == 1
    assert written.locator("[data-line='chain/left:flat']").inner_text() == "Flat spot"
    assert written.locator("[data-looked]").get_attribute("name") == "chain/left:nothing"


def test_a_written_line_gets_every_tool_and_keeps_its_own(written):
    line = written.locator("[data-line='bush/left:pitch']")
    assert line.locator("option").all_text_contents() == ["calliper", "tape"]
    assert line.locator("select").input_value() == "calliper"
    assert line.locator(".how").text_content() == "How bush size is readwith a straight edge"
    assert written.locator("[data-without-script]").count() == 0


LINE = """
<fieldset data-line="NAME"><input data-box name="NAME1">
  <details class="rest"><summary>More <span data-tool-said></span></summary><input data-box name="NAME2">
    <select data-tool name="NAMEtool"><option value="">none</option><option value="tape">steel tape</option></select>
    <input type="checkbox" data-out></details></fieldset>
"""


def test_whole_round_leads_from_reading_to_reading_and_opens_more_by_a_key(stage):
    lines = "".join(LINE.replace("NAME", name) for name in ("pitch", "sag", "rail"))
    page = stage(f"<form>{lines}</form><p data-keys-hint hidden>Enter</p>")
    page.locator("[name=rail2]").evaluate("one => (one.value = '105')")
    page.locator("[name=pitchtool]").evaluate("one => (one.value = 'tape')")
    run(page, "startTable(document.querySelector('form'))", "table.js", "startTable")
    at = lambda: page.evaluate("document.activeElement.name")  # noqa: E731
    page.locator("[name=pitch1]").focus()
    went = []
    for key in ("Tab", "Enter", "Tab", "Shift+Tab", "Shift+Tab"):
        page.keyboard.press(key)
        went.append(at())
    assert went == ["sag1", "rail1", "rail2", "rail1", "sag1"]  # what was written of the rail stands open
    page.keyboard.press("+")
    assert (at(), page.locator("[name=sag1]").input_value()) == ("sag2", "")
    page.keyboard.press("Enter")
    assert at() == "rail1"
    assert page.locator("[data-tool-said]").all_text_contents() == ["· steel tape", "", ""]
    assert page.locator("[data-keys-hint]").is_visible()


KEYS = """
<form>
  <section class="stage"><h2>Chain, left</h2>
    <fieldset data-line="pitch"><input data-box name="p1" inputmode="decimal">
      <input data-box name="p2" inputmode="decimal">
      <input data-joints name="joints" inputmode="numeric"><input type="hidden" data-unit value="in">
      <input type="checkbox" data-out name="pitch-out"></fieldset>
    <fieldset data-line="sag"><input data-box name="sag" inputmode="decimal">
      <input type="checkbox" data-out name="sag-out"></fieldset>
    <div class="seen"><h2>Seen</h2></div><fieldset data-line="looked"><input type="checkbox" data-looked name="looked"></fieldset>
    <fieldset data-line="bolts"><input data-many name="many"></fieldset>
  </section>
</form>
<div data-keys><button data-key="7">7</button><button data-key=".">.</button><button data-act="rub">rub</button>
  <button data-act="again">again</button><button data-act="skip">skip</button><button data-act="back">back</button>
  <button data-act="out">out</button><button data-act="nothing">nothing</button><button data-act="next">next</button>
  <button data-act="own">own</button></div>
<button data-keys-back data-act="ours">ours</button>
"""
STARTED = """
  window.gone = []; window.asked = null; window.hurried = 0; window.waits = null;
  const form = document.querySelector("form"), stage = document.querySelector(".stage");
  const round = { shown: () => stage, clearBar() {}, go: (by) => gone.push(by), whenShown() {}, keptAt: null };
  const asking = {
    asks: async () => { await window.waits; return asked; },
    ask(line) { gone.push(line.dataset.line); },
    hurry() { hurried += 1; },
  };
  startKeys(form, round, asking);
"""


@pytest.fixture
def keys(stage):
    """A factory: the desk's own keys over one part; a press of one of them, and where the caret stands after it."""
    page = stage(KEYS)
    run(page, STARTED, "keys.js", "startKeys")

    def press(*names):
        for name in names:
            page.get_by_role("button", name=name, exact=True).click()
            page.locator("[data-keys]:not([aria-busy])").wait_for(state="attached")
        return page.evaluate("document.activeElement.name ?? ''")

    press.page = page
    return press


def value(page, name):
    return page.locator(f"[name={name}]").input_value()


def test_keys_type_into_the_first_line_and_next_leads_over_its_joints_to_the_next(keys):
    page = keys.page
    assert keys("7", ".", "7") == "p1"
    assert value(page, "p1") == "7.7"
    assert "inches" in page.locator("[data-keys]").get_attribute("class")
    assert keys("next") == "joints"
    assert keys("next") == "sag"
    assert "inches" not in page.locator("[data-keys]").get_attribute("class")
    keys("7", "7", "rub")
    assert value(page, "sag") == "7"


def test_next_after_the_last_line_is_to_look_and_then_the_next_part(keys):
    page = keys.page
    keys("7", "next", "7", "next", "7", "next")
    assert page.evaluate("gone") == []
    assert page.locator("[data-keys]").get_attribute("class").split() == ["folded", "looking"]
    keys("next")
    assert page.evaluate("gone") == [1]


def test_a_line_the_desk_asks_about_is_stayed_at(keys):
    page = keys.page
    page.evaluate("asked = document.querySelector('[data-line=sag]')")
    keys("7", "next", "7", "next")
    assert page.evaluate("gone") == ["sag"]
    stands = page.locator("[data-keys]").get_attribute("class").split()
    assert ("folded" in stands, "looking" in stands) == (True, False)
    page.evaluate("asked = null")
    keys("7")
    assert value(page, "sag") == "7"


def test_again_goes_to_a_box_that_is_empty_and_then_round(keys):
    assert keys("7", "again") == "p2"
    assert keys("7", "again") == "p1"


def test_out_of_reach_is_ticked_and_the_way_goes_on(keys):
    page = keys.page
    keys("7", "next", "next", "out")
    assert page.locator("[name=sag-out]").is_checked()
    assert "looking" in page.locator("[data-keys]").get_attribute("class")


def test_nothing_seen_is_ticked_and_leads_on_and_skip_and_back_lead_past(keys):
    page = keys.page
    keys("7", "next", "next", "next", "nothing")
    assert page.locator("[name=looked]").is_checked()
    keys("skip", "back")
    assert page.evaluate("gone") == [1, 1, -1]


def test_a_count_is_typed_while_one_looks_and_next_looks_on(keys):
    page = keys.page
    page.locator("[name=many]").focus()
    assert keys("7", "next") == ""
    assert value(page, "many") == "7"
    assert page.evaluate("gone") == []
    assert "looking" in page.locator("[data-keys]").get_attribute("class")


def test_the_phones_own_keys_come_when_wanted_and_are_remembered(keys):
    page = keys.page
    modes = "[...document.querySelectorAll('[data-box], [data-joints]')].map((one) => one.inputMode)"
    assert set(page.evaluate(modes)) == {"none"}
    keys_there, back = page.locator("[data-keys]"), page.locator("[data-keys-back]")
    assert not back.is_visible()
    page.get_by_role("button", name="own").click()
    assert not keys_there.is_visible()
    assert page.evaluate(modes) == ["decimal", "decimal", "numeric", "decimal"]
    assert page.evaluate("localStorage.getItem('number keys')") == "own"
    back.click()
    assert keys_there.is_visible()
    assert page.evaluate("localStorage.getItem('number keys')") == "ours"


def test_whoever_presses_on_hurries_the_desk_and_loses_no_figure(keys):
    """The desk takes its time over a line; the figure pressed meanwhile goes into the next one."""
    page = keys.page
    keys("7", "next", "7")
    page.evaluate("void (waits = new Promise((done) => (window.answer = done)))")
    page.get_by_role("button", name="next").click()
    assert page.locator("[data-keys]").get_attribute("aria-busy") == "true"
    page.get_by_role("button", name="7").click()
    assert page.evaluate("hurried") == 1
    assert value(page, "sag") == ""
    page.evaluate("answer()")
    page.wait_for_function("document.activeElement.name === 'sag' && document.activeElement.value === '7'")


def test_on_a_wide_screen_with_a_mouse_there_are_none(stage):
    page = stage(KEYS)
    page.set_viewport_size({"width": 1280, "height": 900})
    run(page, STARTED, "keys.js", "startKeys")
    assert not page.locator("[data-keys]").is_visible()
    assert not page.locator("[data-keys-back]").is_visible()
    assert page.locator("[name=p1]").evaluate("one => one.inputMode") == "decimal"
    page.set_viewport_size({"width": 360, "height": 740})
    page.locator("[data-keys]").wait_for()
