"""The icons of the yard in your pocket, drawn from the tool's own mark: run it once after the mark has changed."""

from io import BytesIO
from pathlib import Path

import resvg_py
from PIL import Image

DESK = Path(__file__).parents[1] / "src" / "pitchline" / "desk"
MARK = (DESK / "static" / "desk" / "mark.svg").read_text(encoding="utf-8")
OUT = DESK / "pocket" / "static" / "pocket"
WHOLE = 'viewBox="0 0 32 32"'
WIDER = 'viewBox="-8 -8 48 48"'
"""What a phone cuts away of a maskable icon is paper alone: its middle 80 % stays (W3C, App Manifest)."""


def drawn(size: int, *, wider: bool) -> bytes:
    """A PNG of `size` by `size` pixels."""
    mark = MARK.replace(WHOLE, WIDER).replace("<rect ", '<rect x="-8" y="-8" ') if wider else MARK
    if wider:
        mark = mark.replace('width="32" height="32" fill', 'width="48" height="48" fill')
    picture = Image.open(BytesIO(bytes(resvg_py.svg_to_bytes(svg_string=mark, width=size, height=size))))
    out = BytesIO()
    picture.convert("RGB").quantize(32).save(out, "PNG", optimize=True)
    return out.getvalue()


if __name__ == "__main__":
    for name, size, wider in (
        ("180", 180, False),
        ("192", 192, False),
        ("512", 512, False),
        ("512-maskable", 512, True),
    ):
        (OUT / f"icon-{name}.png").write_bytes(drawn(size, wider=wider))
