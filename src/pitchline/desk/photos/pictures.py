"""A photo written anew: turned upright, made smaller, and without anything but its picture."""

import io
import threading
from dataclasses import dataclass

from PIL import ExifTags, Image, ImageOps

from pitchline.exchange.gathering import refuse
from pitchline.trade.errors import InputError
from pitchline.trade.writing import as_figure
from pitchline.words import translated

PAGE_PX, SMALL_PX = 1600, 360
MOST_PIXELS = {"JPEG": 80_000_000, "PNG": 40_000_000, "WEBP": 40_000_000}
"""A JPEG is read at a fraction of its size; the others have to be unpacked whole."""
LONGEST_SIDE = 20_000
MEDIA_TYPE = "image/jpeg"
_QUALITY = 82
_ONE_AT_A_TIME = threading.Lock()
_PLACE_TAGS = (
    ExifTags.GPS.GPSVersionID, ExifTags.GPS.GPSLatitudeRef, ExifTags.GPS.GPSLatitude, ExifTags.GPS.GPSLongitudeRef,
    ExifTags.GPS.GPSLongitude, ExifTags.GPS.GPSAltitudeRef, ExifTags.GPS.GPSAltitude,
)  # fmt: skip
_BOMBS = (Image.DecompressionBombError, Image.DecompressionBombWarning)


@dataclass(frozen=True, slots=True)
class Redrawn:
    """A photo in two sizes.

    Parameters
    ----------
    page, small : bytes
        JPEG, at most 1,600 and 360 pixels a side.
    width, height : int
        Of the larger one [pixels].
    has_place : bool
        Whether it still tells where it was taken.
    """

    page: bytes
    small: bytes
    width: int
    height: int
    has_place: bool


def redrawn(content: bytes, name: str, keep_place: bool = False) -> Redrawn:
    """The photo, drawn anew from its pixels.

    Parameters
    ----------
    content : bytes
        A JPEG, PNG or WebP file, whatever it is called.
    name : str
        Its name, for the error.
    keep_place : bool
        Whether latitude, longitude and height stay in it; everything else beside the picture goes in any case.

    Raises
    ------
    InputError
        No such picture, damaged, or too many pixels.

    References
    ----------
    Exif 2.3 (CIPA DC-008): orientation and GPS tags, as Pillow reads them.
    """
    with _ONE_AT_A_TIME:
        try:
            return _redrawn(content, name, keep_place)
        except InputError:
            raise
        except _BOMBS:
            raise _too_many(name, translated("far too many pixels")) from None
        except Exception:  # the library raises many kinds on damaged pictures; all of them mean the same here
            allowed = translated("a photo as JPEG, PNG or WebP; or a document as PDF, CSV, XLSX or text")
            step = translated("Take the photo again, or save it as JPEG.")
            raise refuse(name, "photo", "not a picture that can be read", allowed, step) from None


def _too_many(name: str, seen: str) -> InputError:
    allowed = translated("up to {most} million pixels, {most2} million in a JPEG").format(
        most=MOST_PIXELS["PNG"] // 10**6, most2=MOST_PIXELS["JPEG"] // 10**6
    )
    return refuse(name, "photo", seen, allowed, "Make it smaller first.")


def _redrawn(content: bytes, name: str, keep_place: bool) -> Redrawn:
    with Image.open(io.BytesIO(content), formats=tuple(MOST_PIXELS)) as opened:
        wide, high = opened.size
        most = MOST_PIXELS.get(opened.format or "", MOST_PIXELS["JPEG"])  # a phone's JPEG may call itself MPO
        if wide * high > most or max(wide, high) > LONGEST_SIDE:
            raise _too_many(
                name,
                translated("{wide} × {high} pixels").format(wide=as_figure(wide, ","), high=as_figure(high, ",")),
            )
        place = _place_of(opened) if keep_place else b""
        opened.draft("RGB", (PAGE_PX, PAGE_PX))
        upright = _on_white(_upright(opened))
    upright.thumbnail((PAGE_PX, PAGE_PX), Image.Resampling.LANCZOS)
    page = _jpeg(upright, place)
    width, height = upright.size
    upright.thumbnail((SMALL_PX, SMALL_PX), Image.Resampling.LANCZOS)
    return Redrawn(page, _jpeg(upright, b""), width, height, bool(place))


def _upright(opened: Image.Image) -> Image.Image:
    """Turned as its orientation says; as it is where that cannot be read."""
    opened.load()
    try:
        return ImageOps.exif_transpose(opened) or opened
    except Exception:  # a damaged Exif block raises many kinds; the picture itself is whole
        return opened


def _on_white(image: Image.Image) -> Image.Image:
    """A fresh picture with nothing but pixels, transparent ones white."""
    clear = image.has_transparency_data
    white = Image.new("RGB", image.size, "white")
    if clear:
        layer = image.convert("RGBA")
        white.paste(layer, mask=layer.getchannel("A"))
    else:
        white.paste(image.convert("RGB"))
    return white


def _jpeg(image: Image.Image, exif: bytes) -> bytes:
    stream = io.BytesIO()
    image.save(stream, "JPEG", quality=_QUALITY, optimize=True, progressive=True, exif=exif)
    return stream.getvalue()


def _place_of(opened: Image.Image) -> bytes:
    """An Exif block with the place alone; empty where the photo tells none."""
    try:
        told = opened.getexif().get_ifd(ExifTags.IFD.GPSInfo)
        if ExifTags.GPS.GPSLatitude not in told or ExifTags.GPS.GPSLongitude not in told:
            return b""
        fresh = Image.Exif()
        fresh[ExifTags.IFD.GPSInfo] = {tag: told[tag] for tag in _PLACE_TAGS if tag in told}
        return fresh.tobytes()
    except Exception:  # a damaged Exif block raises many kinds; the place is then not known
        return b""
