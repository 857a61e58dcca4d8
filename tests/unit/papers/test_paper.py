"""The paper: two pages and one of pictures, tagged, our fonts only, everything on it, nothing typed taken for markup."""

import io
import time
from dataclasses import replace
from functools import cache

import pypdf
import pytest

from pitchline.papers import paper, words
from pitchline.papers.press import press
from pitchline.papers.story import boxes, story
from pitchline.trade.units import UnitSystem
from pitchline.words import say
from pitchline.words.cautions import caution_text
from said import written

SAMPLES = ("excavator", "mini", "empty", "all_run", "all_stop", "long_machine")


verdict_pdf = cache(paper.verdict_pdf)  # the same paper of the same verdict, looked at by many tests


@pytest.fixture(params=SAMPLES)
def verdict(request):
    return request.getfixturevalue(request.param)


def read(pdf):
    return pypdf.PdfReader(io.BytesIO(pdf))


def plain(text):
    return " ".join(text.replace(words.GAP, " ").split())


def test_every_sample_fits_two_a4_pages_and_one_of_pictures(verdict):
    # ISO 216: A4 is 210 mm by 297 mm.
    pages = read(verdict_pdf(verdict)).pages
    assert len(pages) == 3
    assert "Pictures" in pages[2].extract_text()
    for page in pages:
        assert float(page.mediabox.width) == pytest.approx(210 / 25.4 * 72, abs=0.1)
        assert float(page.mediabox.height) == pytest.approx(297 / 25.4 * 72, abs=0.1)


def test_the_typesetter_has_nothing_to_remark(verdict):
    assert press("paper.typ", story(verdict, UnitSystem.METRIC), verdict.as_of)[1] == ()


def test_the_file_is_tagged_titled_and_says_its_language(excavator):
    # ISO 14289-1 (PDF/UA-1): marked content, a structure tree, a language, a title that is shown, and its identifier.
    pdf = verdict_pdf(excavator)
    file = read(pdf)
    root = file.trailer["/Root"]
    assert bool(root["/MarkInfo"]["/Marked"].value)
    assert root["/StructTreeRoot"]["/K"]
    assert root["/Lang"].lower() == "en-gb"
    assert bool(root["/ViewerPreferences"]["/DisplayDocTitle"].value)
    assert file.metadata.title == "Verdict on Number 7, 12 Nov 2026"
    assert file.metadata.author == "pitchline 0.1.0"
    assert b"<pdfuaid:part>1</pdfuaid:part>" in root["/Metadata"].get_object().get_data()


def test_the_file_can_be_archived_and_names_the_business(excavator):
    """ISO 19005-2: part and level, an output intent, no encryption; ISO 32000-1, 14.3.3: the author, alike in both places.

    That the claim holds is the typesetter's own check: it refuses to write a file that breaks the standard it is asked for.
    """
    file = read(verdict_pdf(excavator, by="Invented & Sons"))
    xmp = file.trailer["/Root"]["/Metadata"].get_object().get_data().decode()
    assert "<pdfaid:part>2</pdfaid:part>" in xmp
    assert "<pdfaid:conformance>A</pdfaid:conformance>" in xmp
    assert file.trailer["/Root"]["/OutputIntents"][0].get_object()["/S"] == "/GTS_PDFA1"
    assert not file.is_encrypted
    assert file.metadata.author == "Invented & Sons"
    assert "Invented &amp; Sons" in xmp
    assert file.metadata.title in xmp


def test_every_band_and_picture_has_an_alternative_text(excavator):
    # ISO 14289-1, 7.3: every figure has alternative text.
    figures = [tag for tag in tags(read(verdict_pdf(excavator))) if tag.get("/S") == "/Figure"]
    drawn = [part for part in excavator.parts if part.due]
    shown = story(excavator, UnitSystem.METRIC)["pictures"]
    pictures = len(shown["sides"]) + sum(len(column) for column in shown["columns"])
    assert pictures >= 3
    assert len(figures) == len(drawn) + pictures
    assert all(len(figure["/Alt"]) > 20 for figure in figures)


def tags(file):
    waiting, found = [file.trailer["/Root"]["/StructTreeRoot"]["/K"]], []
    while waiting:
        tag = waiting.pop().get_object()
        if isinstance(tag, list):
            waiting += tag
        elif hasattr(tag, "get"):
            found.append(tag)
            if "/K" in tag:
                waiting.append(tag["/K"])
    return found


def test_tables_have_head_cells(excavator):
    kinds = [tag.get("/S") for tag in tags(read(verdict_pdf(excavator)))]
    assert kinds.count("/Table") == 2
    assert kinds.count("/TH") > 10
    assert kinds.count("/H1") == 1
    assert kinds.count("/H2") >= 4


def test_the_only_fonts_are_ours_and_embedded(verdict):
    fonts = {}
    for page in read(verdict_pdf(verdict)).pages:
        for font in page["/Resources"]["/Font"].values():
            font = font.get_object()
            fonts[font["/BaseFont"]] = font["/DescendantFonts"][0].get_object()["/FontDescriptor"]
    assert {name.split("+")[1].split("-")[0] for name in fonts} == {"PitchlineSans"}
    assert all("/FontFile3" in descriptor or "/FontFile2" in descriptor for descriptor in fonts.values())


def test_the_headline_figures_stand_on_page_one(verdict):
    text = plain(read(verdict_pdf(verdict)).pages[0].extract_text())
    for one in boxes(verdict):
        assert plain(one.label) in text
        assert plain(one.figure) in text
        assert all(plain(line) in text for line in one.lines)
    assert plain(say(verdict.headline)) in text


def test_every_job_and_reason_stands_on_the_paper(excavator, text_of):
    text = text_of(verdict_pdf(excavator))
    told = story(excavator, UnitSystem.METRIC)["jobs"]
    assert len(told) == len(excavator.jobs)
    for job in told:
        for key in ("title", "because", "when", "price"):
            assert plain(job[key]) in text


def test_each_caution_is_printed_once_in_full_at_the_first_job_that_needs_it(excavator, text_of):
    text = text_of(verdict_pdf(excavator))
    needed = {caution for job in excavator.jobs for caution in job.cautions}
    assert len(needed) > 4
    for caution in needed:
        assert text.count(plain(caution_text(caution))) == 1
    text = text[text.index("What to do, in order") :]
    roller, bushes, drive = (text.index(title) for title in ("1 stop Rep", "2 book Turn", "3 run Look"))
    assert roller < text.index("the track adjuster holds grease") < bushes
    assert bushes < text.index("Pins and presses throw metal") < drive


def test_findings_readings_and_remarks_stand_on_the_paper(excavator, text_of):
    text = text_of(verdict_pdf(excavator))
    for part in excavator.parts:
        for finding in part.findings:
            assert say(finding.told()) in text
    for remark in map(say, excavator.remarks):
        assert plain(remark) in text
    assert "761.2 mm over 4 joints" in text
    assert "did you mean over 4 joints? Held back from the figures." in text
    assert text.count(words.WORKING_AID) == 3


def test_the_same_verdict_gives_the_same_bytes(excavator):
    assert paper.verdict_pdf(excavator) == paper.verdict_pdf(excavator)


@pytest.mark.parametrize(
    "typed",
    [
        "#strong[x] $ \\ *_<a>",
        '#import "x": * `raw` @ref // /* [',
        "= Heading - list + x / y: z",
        "{{ x }} #panic() \u2019 \\u{41}",
    ],
)
def test_what_was_typed_is_never_markup(excavator, typed, text_of):
    machine = replace(excavator.machine, name=typed, note=typed)
    verdict = replace(excavator, machine=machine, headline=written(typed), remarks=(written(typed),))
    pdf = verdict_pdf(verdict)
    assert text_of(pdf).count(plain(typed)) >= 4
    assert read(pdf).metadata.title.startswith(f"Verdict on {typed}")


def test_signs_the_font_lacks_become_squares(excavator, text_of):
    machine = replace(excavator.machine, name="Number 7 \u65e5\u672c\U0001f69c\n\tsecond\u0000line")
    assert "Number 7 □□□ second□line" in text_of(verdict_pdf(replace(excavator, machine=machine)))


def test_an_empty_name_and_line_breaks_do_no_harm(excavator):
    verdict = replace(
        excavator,
        machine=replace(excavator.machine, name="Y", note="a\nb"),
        headline=written(""),
        remarks=(written(""),),
    )
    assert len(read(verdict_pdf(verdict)).pages) == 3


def test_long_tables_run_on_and_lose_nothing(excavator, text_of):
    jobs = tuple(replace(excavator.jobs[3], because=written(f"Reason number {n}.")) for n in range(60))
    pdf = verdict_pdf(replace(excavator, jobs=jobs))
    assert len(read(pdf).pages) > 3
    text = text_of(pdf)
    assert all(f"Reason number {n}." in text for n in range(60))


def test_imperial_shows_inches_and_pounds_but_readings_as_typed(excavator, text_of):
    # 187.0 mm / 25.4 = 7.36 in; 21,500 kg / 0.45359237 = 47,399 lb (yard and pound agreement of 1959).
    text = text_of(verdict_pdf(excavator, UnitSystem.IMPERIAL))
    assert "new pitch 7.36 in" in text
    assert "47,399 lb" in text
    assert "761.2 mm over 4 joints" in text


def test_the_paper_is_drawn_in_under_a_second(long_machine):
    verdict_pdf(long_machine)
    start = time.process_time()
    paper.verdict_pdf(replace(long_machine, headline=written("Another one.")))
    assert time.process_time() - start < 1.0
