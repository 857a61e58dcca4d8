"""The table of rights in the docs is the one in the code."""

from pathlib import Path

from pitchline.desk.staff.names import ROLE_NAMES, rights_table

PAGE = Path(__file__).parents[3] / "docs" / "howto" / "people-and-roles.md"


def told():
    lines = [
        "| Right | " + " | ".join(str(name) for name in ROLE_NAMES.values()) + " |",
        "|---|" + "---|" * len(ROLE_NAMES),
    ]
    lines += [
        f"| {said} | " + " | ".join("yes" if has else "–" for has in row) + " |" for said, row in rights_table()
    ]
    return "\n".join(lines)


def test_page_tells_the_rights_as_they_are():
    between = PAGE.read_text(encoding="utf-8").split("<!-- rights -->\n")[1].split("\n<!-- /rights -->")[0]
    assert between == told()
