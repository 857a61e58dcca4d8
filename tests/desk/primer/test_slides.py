"""The primer as slides: 16 to 9, every lesson and part, the business's own machines."""

import io

from pypdf import PdfReader

from pitchline.desk.primer.lessons import LESSONS
from pitchline.trade.parts import PartKind


def test_slides_tell_every_lesson_every_part_and_the_yard_s_machines(client, machine):
    answer = client.get("/primer/slides.pdf")
    assert answer["Content-Type"] == "application/pdf"
    pages = PdfReader(io.BytesIO(answer.content)).pages
    assert len(pages) == 1 + len(LESSONS) + len(PartKind) + 1  # a title, and one machine: none runs on
    assert {round(float(one.mediabox.width) / float(one.mediabox.height), 3) for one in pages} == {
        round(16 / 9, 3)
    }
    heads = [page.extract_text().split("\n")[0] for page in pages]
    assert {one.title for one in LESSONS.values()} <= set(heads)
    assert heads[-1] == f"On our yard: {machine.name}"
    assert sum(f"Filled in on {machine.name}" in page.extract_text() for page in pages) > 5
