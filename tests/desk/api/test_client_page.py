"""The client of docs/howto/write-a-client.md does what the page says, against a running desk, and is rightly typed."""

import re
from pathlib import Path

import pytest

from pitchline.desk.machine.models import Machine
from pitchline.exchange.machine_file import machine_json

PAGE = Path(__file__).parents[3] / "docs" / "howto" / "write-a-client.md"
BLOCKS = re.findall(r"```python\n(.*?)```", PAGE.read_text(encoding="utf-8"), re.DOTALL)


@pytest.mark.usefixtures("transactional_db")
def test_page_works_from_top_to_bottom(live_server, later, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "machine.json").write_text(
        machine_json(later(0.6)).replace('"2026-11-02"', '"2026-10-05"'), encoding="utf-8"
    )
    known = {"__name__": "client"}
    for block in BLOCKS:
        exec(compile(block.replace("http://127.0.0.1:8321", live_server.url), str(PAGE), "exec"), known)  # noqa: S102  our own page
    assert known["judged"].call in ("stop", "book", "run")
    assert known["judged"].verdict_id != known["machine"].verdict_id
    assert known["paper"].startswith(b"%PDF")
    assert known["refused"]["field"] == "body.lines.1.key"
    assert "link/left:rail_height" in known["refused"]["next_step"]
    assert (known["job"]["of"], known["job"]["refused"]) == (21, 1)
    assert [one["number"] for one in known["left"]] == [21]
    assert Machine.objects.filter(kind="dozer").count() == 20
    assert len(known["desk"].machines(kind="dozer")) == 20
