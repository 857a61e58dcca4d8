"""Templates as text: short lines for whoever reads them, no indentation for whoever is sent them."""

from pathlib import Path

from django.template import Context, engines

import pitchline.desk

TEMPLATES = sorted(Path(pitchline.desk.__file__).parent.glob("**/templates/**/*.html"))
LONGEST = 120


def test_no_line_of_a_template_is_long():
    assert len(TEMPLATES) > 80
    long = [
        f"{path.name}:{number}"
        for path in TEMPLATES
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if len(line) > LONGEST
    ]
    assert long == []


def test_what_is_sent_is_not_indented_and_keeps_its_lines(tmp_path):
    (tmp_path / "one.html").write_text("<p>\n  {% if said %}\n    {{ said }}\n  {% endif %}\n</p>\n")
    engine = engines["django"].engine
    loader = engine.template_loaders[0].loaders[0]
    found = next(one for one in loader.get_template_sources("desk/base.html") if Path(one.name).exists())
    assert "\n " not in loader.get_contents(found)
    found.name = str(tmp_path / "one.html")
    assert engine.from_string(loader.get_contents(found)).render(Context({"said": "x"})) == "<p>\n\nx\n\n</p>\n"
