"""Text boxes of every drawing of the demo yard, measured in Chromium with our typeface and without it.

Run: PITCHLINE_BROWSER=/path/of/chromium python bench/picture_text.py. Prints how many lines of text lie on each other or leave
the paper. tests/unit/picture/test_letters_of_the_font.py does the same without a browser, by the fonts' own letter widths.
"""

import os
import re
import shutil
import subprocess
import sys
import tempfile
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
FACES = "".join(
    f'@font-face{{font-family:"Pitchline Sans";font-weight:{weight};src:url(file://{FONTS}/PitchlineSans-{name}.otf)}}'
    for weight, name in ((400, "Regular"), (600, "SemiBold"))
)
MEASURE = """<script>document.fonts.ready.then(()=>{const bad=[];let n=0;for(const d of document.querySelectorAll('div')){
const s=d.querySelector('svg').getBoundingClientRect();const b=[...d.querySelectorAll('text')].map(t=>{
const r=t.getBoundingClientRect(),h=r.height*0.12;return{l:r.left,r:r.right,t:r.top+h,b:r.bottom-h,w:t.textContent}});n+=b.length;
b.forEach((x,i)=>{if(x.l<s.left-.5||x.r>s.right+.5)bad.push(d.id+' leaves the paper: '+x.w);b.slice(i+1).forEach(y=>{
if(x.l<y.r&&y.l<x.r&&x.t<y.b&&y.t<x.b)bad.push(d.id+' lie on each other: '+x.w+' | '+y.w)})})}
document.body.innerHTML='<pre>'+n+' lines of text, '+bad.length+' bad\\n'+bad.slice(0,40).join('\\n')+'</pre>'})</script>"""


def drawings(verdicts):
    """Name and drawing of every view, at phone and desk widths and in both unit systems."""
    for verdict in verdicts:
        for units in UnitSystem:
            name = f"{verdict.machine.machine_id} {units.value}"
            for width in (360, 720, 1200, 1600):
                for side in (Side.LEFT, Side.RIGHT):
                    yield (
                        f"{name} {width} side",
                        lambda p, v=verdict, s=side, w=width, u=units: side_svg(v, s, w, u, prefix=p),
                    )
                yield f"{name} {width} plan", lambda p, v=verdict, w=width, u=units: plan_svg(v, w, u, prefix=p)
            for width in (360, 1000):
                for kind in dict.fromkeys(part.place.part for part in verdict.parts):
                    yield (
                        f"{name} {width} {kind.value}",
                        lambda p, v=verdict, k=kind, w=width, u=units: part_svg(v, k, 0, w, u, prefix=p),
                    )
                for part in verdict.parts:
                    for judged in part.judged:
                        yield (
                            f"{name} {width} {part.place.key} {judged.measurand.value}",
                            lambda p, v=verdict, q=part.place, m=judged.measurand, w=width, u=units: record_svg(
                                v, q, m, (), w, u, prefix=p
                            ),
                        )
    for width in (360, 1200):
        yield f"yard {width}", lambda p, w=width: yard_svg(verdicts, w, prefix=p)


def main(chromium: str) -> None:
    """Measure everything twice."""
    verdicts = [judge(machine.with_sheet, None, None) for machine in build_yard().machines]
    found = [
        f'<div id="{name}">{draw(f"s{number}")}</div>' for number, (name, draw) in enumerate(drawings(verdicts))
    ]
    for told, faces in (("our typeface", FACES), ("the system's", "")):
        with tempfile.TemporaryDirectory() as folder:
            page = Path(folder) / "text.html"
            page.write_text(
                f"<!doctype html><meta charset=utf-8><style>{faces}</style><body>{''.join(found)}{MEASURE}",
                "utf-8",
            )
            command = [
                chromium,
                "--headless",
                "--no-sandbox",
                "--virtual-time-budget=60000",
                "--dump-dom",
                f"file://{page}",
            ]
            dom = subprocess.run(command, capture_output=True, text=True, check=True, timeout=600).stdout  # noqa: S603
        print(f"{len(found)} drawings, {told}: {re.search(r'<pre>(.*?)</pre>', dom, re.DOTALL)[1]}")


def browser() -> str:
    """The browser of PITCHLINE_BROWSER, else a chromium on the path; ends with a clear word where there is none."""
    asked = os.environ.get("PITCHLINE_BROWSER", "chromium")
    found = shutil.which(asked)
    if found is None:
        sys.exit(
            f"No browser at {asked!r}: set PITCHLINE_BROWSER to the path of a Chromium. Nothing was measured."
        )
    return found


if __name__ == "__main__":
    main(browser())
