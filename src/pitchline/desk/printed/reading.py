"""Square codes in a photo, found by a general library."""

import io

from PIL import Image, ImageFilter, ImageOps

from pitchline.desk.machine.sheet_code import Named, read_code
from pitchline.desk.photos.pictures import LONGEST_SIDE, MOST_PIXELS

_LONGEST_PX, _LESS_PX = 3200, 1800
"""Longer sides at which it is looked at: a code in the corner of a whole page needs the first, a blurred one the second."""


def code_in(photo: bytes) -> Named | None:
    """The first code of a sheet in a photo; None where there is none, or it is no picture.

    References
    ----------
    ISO/IEC 18004 (QR code), read by zxing-cpp.
    """
    import zxingcpp  # only where a photo of a sheet is sent

    try:
        with Image.open(io.BytesIO(photo), formats=tuple(MOST_PIXELS)) as opened:
            most = MOST_PIXELS.get(opened.format or "", MOST_PIXELS["JPEG"])
            if opened.width * opened.height > most or max(opened.size) > LONGEST_SIDE:
                return None
            opened.draft("L", (_LONGEST_PX, _LONGEST_PX))
            grey = ImageOps.exif_transpose(opened).convert("L")
            grey.thumbnail((_LONGEST_PX, _LONGEST_PX))
    except (
        Exception
    ):  # the library raises many kinds on damaged pictures; keeping the photo tells what is wrong with it
        return None
    less = grey.copy()
    less.thumbnail((_LESS_PX, _LESS_PX))
    looks = (lambda: grey, lambda: less, lambda: grey.filter(ImageFilter.MedianFilter(3)))
    found = (zxingcpp.read_barcodes(look(), formats=zxingcpp.BarcodeFormat.QRCode) for look in looks)
    return next((named for codes in found for one in codes if (named := read_code(one.text)) is not None), None)
