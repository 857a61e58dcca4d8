"""What is said of a photo or document."""

from django import forms

from pitchline.desk.posts import MOST_TEXT, Post, switch


class PhotoForm(Post):
    """What it shows and where it belongs; how long a caption may be stands in `actions.caption_of`."""

    caption = forms.CharField(required=False, max_length=MOST_TEXT, strip=False, label="what it shows")
    part = forms.CharField(required=False, max_length=60)
    sheet = forms.CharField(required=False, max_length=60)
    finding = forms.CharField(required=False, max_length=120)
    keep_place = switch()
