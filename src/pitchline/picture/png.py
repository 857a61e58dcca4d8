"""A drawing as a PNG picture, with our own fonts and nothing of the system's."""

from pathlib import Path

import resvg_py

_FONTS = Path(__file__).parents[1] / "papers" / "fonts"
_FILES = ("PitchlineSans-Regular.otf", "PitchlineSans-SemiBold.otf")


def png_bytes(svg: str, zoom: float = 2.0) -> bytes:
    """A drawing as PNG.

    Parameters
    ----------
    svg : str
        SVG text; light or dark, not following the system.
    zoom : float
        Picture pixels to a CSS pixel, above zero.

    References
    ----------
    Rendered by resvg, a library without needs of the system.
    """
    fonts = [str(_FONTS / name) for name in _FILES]
    return bytes(
        resvg_py.svg_to_bytes(
            svg_string=svg,
            skip_system_fonts=True,
            font_files=fonts,
            font_family="Pitchline Sans",
            sans_serif_family="Pitchline Sans",
            zoom=zoom,
        )
    )
