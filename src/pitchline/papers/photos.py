"""Photos on papers: the picture as it is kept, names of parts over it where somebody marked them."""

from dataclasses import dataclass

from pitchline.picture.named_photo import NamedSpot, photo_svg
from pitchline.words import translated, worded
from pitchline.words.speaking import capital


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo for a paper.

    Parameters
    ----------
    jpeg : bytes
        The picture, drawn anew from its pixels.
    width, height : int
        Its size [pixels], above 0.
    said : str
        What it shows.
    names : tuple of NamedSpot
        Names of parts over it.
    """

    jpeg: bytes
    width: int
    height: int
    said: str
    names: tuple[NamedSpot, ...] = ()

    def told(self) -> dict[str, str]:
        """A drawing the template can set, what stands below it, and what it shows for those who cannot see it."""
        alt = worded("Photo: {one}", one=self.said) if self.said else translated("Photo of the machine")
        if self.names:
            alt = worded("{photo}; named on it: {names}", photo=alt, names=", ".join(self.named))
        return {
            "svg": photo_svg(self.jpeg, self.width, self.height, self.names),
            "said": self.said or capital(", ".join(self.named)),
            "alt": alt,
        }

    @property
    def named(self) -> list[str]:
        """Each name on it once."""
        return list(dict.fromkeys(one.said for one in self.names))
