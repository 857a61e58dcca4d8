"""What is seen of a mark: which way its lines rise, how much of it is ink, and whether anything in a picture is red."""

import io

import numpy as np
from PIL import Image


def inside(png, rim=0.2):
    """How far a mark without its rim is from the paper in the picture's corner, 0 to 1."""
    grey = np.asarray(Image.open(io.BytesIO(png)).convert("L"), float)
    tall, wide = (round(rim * size) for size in grey.shape)
    seen = abs(grey[tall:-tall, wide:-wide] - grey[0, 0])
    return seen / 255


def leans(seen):
    """How the lines of a mark rise [deg from level, anticlockwise], those that hold a fifth of the unevenness or more.

    Lines all alike have their power across themselves in the two-dimensional spectrum (Bracewell, The Fourier Transform and Its
    Applications, projection-slice; from memory).
    """
    if seen.std() < 0.02:
        return ()
    size = min(seen.shape)
    seen = seen[:size, :size]
    window = np.hanning(size)
    power = abs(np.fft.fft2((seen - seen.mean()) * np.outer(window, window))) ** 2
    down, right = np.meshgrid(np.fft.fftfreq(size), np.fft.fftfreq(size), indexing="ij")
    power[np.hypot(down, right) < 1.5 / size] = 0
    across = np.degrees(np.arctan2(-down, right)) % 180  # upwards is against the rows' count
    rise = (across + 90) % 180
    shares = {deg: power[abs((rise - deg + 90) % 180 - 90) < 12].sum() / power.sum() for deg in (0, 45, 90, 135)}
    return tuple(deg for deg, share in shares.items() if share > 0.2)


def reds(png):
    """How many pixels of a picture are plainly red, brown or orange."""
    red, green, blue = np.moveaxis(np.asarray(Image.open(io.BytesIO(png)).convert("RGB"), int), -1, 0)
    return int((red - np.maximum(green, blue) > 40).sum())
