"""What a role is called and what it is for, and the table of rights as people read it."""

from pitchline.desk.people.rights import FITTER, OFFICE, OWNER, READER, RIGHTS, ROLES
from pitchline.desk.spoken import later
from pitchline.words import in_english, translated

ROLE_NAMES = {
    OWNER: later("Owner"),
    OFFICE: later("Office"),
    FITTER: later("Fitter"),
    READER: later("Reader"),
}
FOR = {
    OWNER: in_english("everything, people and settings too"),
    OFFICE: in_english("machines, prices and quotes"),
    FITTER: in_english("walk-rounds and photos, no prices"),
    READER: in_english("looks at everything, prices too, and changes nothing"),
}
ROLE_CHOICES = list(ROLE_NAMES.items())


def rights_table() -> list[tuple[str, list[bool]]]:
    """Each right in words, and whether each role has it."""
    return [(translated(said), [right in ROLES[role] for role in ROLE_NAMES]) for right, said in RIGHTS.items()]
