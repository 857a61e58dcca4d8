"""Running gears as somebody counts them beside a machine, and the walk-round that the desk makes of the same counts."""

from pitchline.desk.machine.gear_form import GearForm
from pitchline.desk.machine.models import Machine
from pitchline.desk.people.models import Business
from pitchline.desk.pocket import parcel
from pitchline.exchange.machine_file import machine_from_json

_SIZES = {
    "pitch": "190 mm",
    "shoe_width": "600 mm",
    "sprocket_teeth": "23",
    "sprocket_gaps": "each",
    "shoe_class": "standard",
}
COUNTS = [
    {"joints_per_side": "49", "bottom_rollers_per_side": "9", "upper_rollers_per_side": "2", "slew_ring": "on"},
    {
        "joints_per_side": "41",
        "bottom_rollers_per_side": "6",
        "upper_rollers_per_side": "1",
        "layout": "raised_sprocket",
    },
    {
        "joints_per_side": "38",
        "bottom_rollers_per_side": "1",
        "upper_rollers_per_side": "0",
        "layout": "level",
        "slew_ring": "false",
    },
    {"joints_per_side": "60", "bottom_rollers_per_side": "20", "upper_rollers_per_side": "20", "slew_ring": "on"},
]


def round_told(dossier):
    """A walk-round as a parcel tells it."""
    return parcel.round_told(Machine(business=Business()), dossier)


def at_the_desk(track, counts):
    """The walk-round of a machine entered with these counts, by the form that asks for them at the desk."""
    form = GearForm({"layout": "level", "track": track, "seen_version": 0} | _SIZES | counts, numbers="point")
    assert form.is_valid(), form.errors
    return round_told(machine_from_json(form.file_text("blank", "blank", "dozer"), "blank"))
