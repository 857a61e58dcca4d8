"""Text boxes of every drawing of the demo yard, measured in Chromium with our typeface and without it.

Run: PITCHLINE_BROWSER=/path/of/chromium python bench/picture_text.py. Prints how many lines of text lie on each other or leave
the paper; ends with 1 where any do. tests/browser/test_picture_text.py measures some of the same drawings in every run, and
tests/unit/picture/test_letters_of_the_font.py all of them without a browser, by the fonts' own letter widths.
"""

import base64
import os
import shutil
import sys
from pathlib import Path

import pitchline
from pitchline.demo.yard import build_yard
from pitchline.judge import judge
from pitchline.picture.part import part_svg
from pitchline.picture.plan import plan_svg
from pitchline.picture.record import record_svg
from pitchline.picture.side import side_svg
from pitchline.picture.yard import yard_svg
from pitchline.trade.parts import Side
from pitchline.trade.units import UnitSystem

FONTS = Path(pitchline.__file__).parent / "papers" / "fonts"
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-dev-shm-usage"]
BATCH = 24
"""Drawings to a page: each brings a style sheet of its own, which the browser applies to all of the page."""
MEASURE = """async () => {await document.fonts.ready; const bad = []; let n = 0;
for (const d of document.querySelectorAll('div')) {
  const s = d.querySelector('svg').getBoundingClientRect();
  const b = [...d.querySelectorAll('text')].map(t => {const r = t.getBoundingClientRect(), h = r.height * 0.12;
    return {l: r.left, r: r.right, t: r.top + h, b: r.bottom - h, w: t.textContent}});
  n += b.length;
  b.forEach((x, i) => {
    if (x.l < s.left - .5 || x.r > s.right + .5 || x.t < s.top - .5 || x.b > s.bottom + .5)
      bad.push(d.id + ' leaves the paper: ' + x.w);
    b.slice(i + 1).forEach(y => {if (x.l < y.r && y.l < x.r && x.t < y.b && y.t < x.b)
      bad.push(d.id + ' lie on each other: ' + x.w + ' | ' + y.w)})})}
return [n, bad]}"""


def drawings(verdicts, widths=(360, 720, 1200, 1600), units=tuple(UnitSystem), records=True):
    """Name and drawing of every view, at phone and desk widths and in both unit systems."""
    for verdict in verdicts:
        for unit in units:
            name = f"{verdict.machine.machine_id} {unit.value}"
            for width in widths:
                for side in (Side.LEFT, Side.RIGHT):
                    yield f"{name} {width} {side.value} side", side_svg(verdict, side, width, unit)
                yield f"{name} {width} plan", plan_svg(verdict, width, unit)
            for width in sorted({min(widths), min(max(widths), 1000)}):
                for kind in dict.fromkeys(part.place.part for part in verdict.parts):
                    yield f"{name} {width} {kind.value}", part_svg(verdict, kind, 0, width, unit)
                for part in verdict.parts if records else ():
                    if part.place.position in (0, 1):
                        for judged in part.judged:
                            what = f"{name} {width} {part.place.key} {judged.measurand.value}"
                            yield what, record_svg(verdict, part.place, judged.measurand, (), width, unit)
    for width in widths:
        yield f"yard {width}", yard_svg(verdicts, width)


def faces(ours: bool) -> str:
    """Our typeface in a style element, or none."""
    if not ours:
        return ""
    rules = [
        f'@font-face{{font-family:"Pitchline Sans";font-weight:{weight};src:url(data:font/otf;base64,'
        f"{base64.b64encode((FONTS / f'PitchlineSans-{name}.otf').read_bytes()).decode()})}}"
        for weight, name in ((400, "Regular"), (600, "SemiBold"))
    ]
    return f"<style>{''.join(rules)}</style>"


def measured(browser, found, ours: bool) -> tuple[int, list[str]]:
    """How many lines of text there are, and what is wrong with which."""
    page = browser.new_page(viewport={"width": 1700, "height": 1000})
    lines, bad = 0, []
    found = list(found)
    for first in range(0, len(found), BATCH):
        some = found[first : first + BATCH]
        body = "".join(f'<div id="{name}">{svg}</div>' for name, svg in some)
        page.set_content(f"<!doctype html><meta charset=utf-8>{faces(ours)}{body}")
        more, wrong = page.evaluate(MEASURE)
        lines, bad = lines + more, [*bad, *wrong]
    page.close()
    return lines, bad


def main(path: str) -> int:
    """Measure everything twice."""
    from playwright.sync_api import sync_playwright

    verdicts = [judge(machine.with_sheet, None, None) for machine in build_yard().machines]
    found = list(drawings(verdicts))
    wrong = 0
    with sync_playwright() as started:
        browser = started.chromium.launch(executable_path=path, args=FLAGS)
        for told, ours in (("our typeface", True), ("the system's", False)):
            lines, bad = measured(browser, found, ours)
            wrong += len(bad)
            print(f"{len(found)} drawings, {told}: {lines} lines of text, {len(bad)} bad", *bad[:40], sep="\n")
        browser.close()
    return 1 if wrong else 0


def browser_path() -> str:
    """The browser of PITCHLINE_BROWSER, else a chromium on the path; ends with a clear word where there is none."""
    asked = os.environ.get("PITCHLINE_BROWSER", "chromium")
    found = shutil.which(asked)
    if found is None:
        sys.exit(
            f"No browser at {asked!r}: set PITCHLINE_BROWSER to the path of a Chromium. Nothing was measured."
        )
    return found


if __name__ == "__main__":
    sys.exit(main(browser_path()))
