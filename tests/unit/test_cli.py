"""The commands, as a person would type them."""

import json
import re
import shutil
import subprocess
import sys

import pypdf
import pytest

from judged_once import judge_once
from pitchline.cli import NOT_USABLE, from_files, main
from pitchline.exchange.machine_file import read_machine
from pitchline.judge import judge


@pytest.fixture(autouse=True)
def judged_once(monkeypatch):
    """What files say is judged once: tried here is what is told and written of it, and what is refused."""
    monkeypatch.setattr(from_files, "judge", judge_once)


@pytest.fixture(scope="module")
def yard(tmp_path_factory):
    folder = tmp_path_factory.mktemp("yard") / "demo"
    assert main(["demo", "--out", str(folder)]) == 0
    return folder


@pytest.fixture
def one(yard):
    folder = next(path for path in sorted(yard.iterdir()) if path.name.startswith("07-") and path.is_dir())
    return folder / "machine.json", next(folder.glob("sheet-*.csv")), yard / "prices.csv"


def test_demo_writes_the_yard_a_paper_and_the_figures(yard):
    assert (yard / "README.txt").read_text(encoding="utf-8").lower().count("invented") >= 1
    assert len(list(yard.glob("*/machine.json"))) >= 14
    (paper,) = yard.glob("*.pdf")
    assert paper.read_bytes().startswith(b"%PDF")
    (figures,) = yard.glob("*.verdict.json")
    assert json.loads(figures.read_text(encoding="utf-8"))["format"] == "pitchline-verdict/2"


def test_every_demo_machine_is_judged_with_its_sheet(yard, capsys):
    for folder in sorted(path for path in yard.iterdir() if path.is_dir()):
        sheet = next(folder.glob("sheet-*.csv"))
        arguments = [
            "judge",
            str(folder / "machine.json"),
            "--sheet",
            str(sheet),
            "--prices",
            str(yard / "prices.csv"),
        ]
        assert main([*arguments, "--json"]) == 0
        told = json.loads(capsys.readouterr().out)
        assert told["call"] in ("run", "book", "stop") or "not looked at" in told["headline"]["text"]


def test_demo_leaves_a_foreign_folder_alone(tmp_path, capsys):
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    assert main(["demo", "--out", str(tmp_path)]) == NOT_USABLE
    assert (tmp_path / "mine.txt").exists()
    assert "--out" in capsys.readouterr().err


@pytest.mark.parametrize("stands", ["demo", "demo/inside"])
def test_demo_does_not_take_away_the_folder_one_stands_in(tmp_path, monkeypatch, capsys, stands):
    kept = tmp_path / "demo" / "README.txt"
    (tmp_path / "demo" / "inside").mkdir(parents=True)
    kept.write_text("made before", encoding="utf-8")
    monkeypatch.chdir(tmp_path / stands)
    assert main(["demo", "--out", str(tmp_path / "demo")]) == NOT_USABLE
    assert kept.exists()
    assert "cd .." in capsys.readouterr().err


def test_judge_shows_calls_and_writes_the_paper(one, tmp_path, capsys):
    machine, sheet, prices = map(str, one)
    paper = tmp_path / "paper.pdf"
    assert main(["judge", machine, "--sheet", sheet, "--prices", prices, "--pdf", str(paper)]) == 0
    shown = capsys.readouterr().out
    assert "bottom roller 5" in shown
    assert "EUR" in shown
    assert paper.exists()


def test_the_same_judgement_twice_is_the_same_text(one, capsys, monkeypatch):
    monkeypatch.setattr(from_files, "judge", judge)  # anew each time
    machine, sheet, _ = map(str, one)
    texts = []
    for _ in range(2):
        main(["judge", machine, "--sheet", sheet, "--json"])
        texts.append(capsys.readouterr().out)
    assert texts[0] == texts[1]


def test_imperial_shows_inches(one, capsys):
    machine, sheet, _ = map(str, one)
    main(["judge", machine, "--sheet", sheet, "--units", "imperial"])
    assert " in" in capsys.readouterr().out


def test_an_earlier_day_leaves_later_walk_rounds_out(one, capsys):
    machine, sheet, _ = map(str, one)
    main(["judge", machine, "--sheet", sheet, "--as-of", "2026-08-31", "--json"])
    assert json.loads(capsys.readouterr().out)["as_of"] == "2026-08-31"


@pytest.mark.parametrize("ending", [".csv", ".xlsx", ".pdf"])
def test_blank_sheet_in_each_form(one, tmp_path, ending):
    out = tmp_path / f"blank{ending}"
    assert main(["sheet", str(one[0]), "--out", str(out)]) == 0
    assert out.stat().st_size > 500


def test_a_filled_sheet_is_never_overwritten(one, tmp_path, capsys):
    out = tmp_path / "filled.csv"
    out.write_text("mine", encoding="utf-8")
    assert main(["sheet", str(one[0]), "--out", str(out)]) == NOT_USABLE
    assert out.read_text(encoding="utf-8") == "mine"
    assert "never overwritten" in capsys.readouterr().err


def test_an_empty_sheet_needs_a_day_and_hours(one, tmp_path, capsys):
    out = tmp_path / "blank.csv"
    main(["sheet", str(one[0]), "--out", str(out)])
    assert main(["judge", str(one[0]), "--sheet", str(out)]) == NOT_USABLE
    complaint = capsys.readouterr().err
    assert "date" in complaint
    assert "hours on the meter" in complaint


def test_all_problems_of_all_files_at_once_and_nothing_written(one, tmp_path, capsys):
    machine, sheet, prices = one
    text = sheet.read_text(encoding="utf-8-sig")
    bad_sheet, bad_prices, paper = tmp_path / "bad.csv", tmp_path / "bad-prices.csv", tmp_path / "paper.pdf"
    bad_sheet.write_text(
        text.replace("left,link rail,,link rail height,", "left,link rail,,link rail height,abc"), encoding="utf-8"
    )
    shutil.copy(prices, bad_prices)
    bad_prices.write_text(bad_prices.read_text(encoding="utf-8-sig").replace("EUR", "euro"), encoding="utf-8")
    status = main(
        ["judge", str(machine), "--sheet", str(bad_sheet), "--prices", str(bad_prices), "--pdf", str(paper)]
    )
    complaint = capsys.readouterr().err
    assert status == NOT_USABLE
    assert "bad.csv" in complaint
    assert "bad-prices.csv" in complaint
    assert not paper.exists()


def test_a_missing_file_is_said_by_name(tmp_path, capsys):
    assert main(["judge", str(tmp_path / "nowhere.json")]) == NOT_USABLE
    assert "nowhere.json" in capsys.readouterr().err


def test_a_wrong_day_is_refused(one, capsys):
    with pytest.raises(SystemExit) as stopped:
        main(["judge", str(one[0]), "--as-of", "25.11.2026"])
    assert stopped.value.code == NOT_USABLE
    assert "2026-11-25" in capsys.readouterr().err


def test_schema_is_json_schema(capsys):
    assert main(["schema"]) == 0
    assert json.loads(capsys.readouterr().out)["$schema"].startswith("https://json-schema.org/")


def test_more_hours_than_days_have_are_refused(one, tmp_path, capsys):
    machine, sheet, _ = one
    text = sheet.read_text(encoding="utf-8-sig").replace("hours on the meter,2380", "hours on the meter,23800")
    (tmp_path / "typo.csv").write_text(text, encoding="utf-8")
    assert main(["judge", str(machine), "--sheet", str(tmp_path / "typo.csv")]) == NOT_USABLE
    complaint = capsys.readouterr().err
    assert "typo.csv, row 3" in complaint
    assert "a day has 24" in complaint


def test_a_second_demo_keeps_what_somebody_changed_or_added(tmp_path, capsys):
    out = tmp_path / "demo"
    main(["demo", "--out", str(out)])
    main(["demo", "--out", str(out)])
    assert [path.name for path in tmp_path.iterdir()] == ["demo"]
    (out / "07-gorse" / "mine.csv").write_text("mine", encoding="utf-8")
    assert main(["demo", "--out", str(out)]) == 0
    assert (tmp_path / "demo-kept-1" / "07-gorse" / "mine.csv").read_text(encoding="utf-8") == "mine"
    assert "kept as" in capsys.readouterr().out


def test_a_row_with_a_tool_and_no_reading_is_asked_about(one, tmp_path, capsys):
    machine, sheet, _ = one
    text = re.sub(r"(link rail height),([\d.]+),,,,", r"\1,,,,\2,", sheet.read_text(encoding="utf-8-sig"), count=1)
    (tmp_path / "column.csv").write_text(text, encoding="utf-8")
    assert main(["judge", str(machine), "--sheet", str(tmp_path / "column.csv")]) == NOT_USABLE
    assert "under reading 1" in capsys.readouterr().err


def test_judge_writes_every_paper_of_a_stop(one, tmp_path, capsys):
    machine, sheet, prices = map(str, one)
    wanted = {"--quote": "q.pdf", "--work-order": "w.pdf", "--workbook": "w.xlsx", "--calendar": "c.ics"}
    options = [word for option, name in wanted.items() for word in (option, str(tmp_path / name))]
    whole = ["judge", machine, "--sheet", sheet, "--prices", prices, *options, "--asking-price", "48000"]
    assert main(whole) == 0
    shown = capsys.readouterr().out
    assert "not a valuation" in shown
    assert all(str(tmp_path / name) in shown for name in wanted.values())
    starts = {"q.pdf": b"%PDF", "w.pdf": b"%PDF", "w.xlsx": b"PK", "c.ics": b"BEGIN:VCALENDAR"}
    assert {name: (tmp_path / name).read_bytes()[: len(start)] for name, start in starts.items()} == starts


def test_judge_writes_a_paper_for_each_reader_and_names_who_they_come_from(one, tmp_path, capsys):
    machine, sheet, prices = map(str, one)
    wanted = {"--buyer": "b.pdf", "--workshop": "w.pdf", "--colleague": "c.pdf", "--quote": "q.pdf"}
    options = [word for option, name in wanted.items() for word in (option, str(tmp_path / name))]
    whole = ["judge", machine, "--sheet", sheet, "--prices", prices, *options, "--business", "Invented & Sons"]
    assert main([*whole, "--advert", str(tmp_path / "a.txt")]) == 0
    assert "Advert: " in capsys.readouterr().out
    for name in wanted.values():
        assert pypdf.PdfReader(tmp_path / name).metadata.author == "Invented & Sons"
    advert = (tmp_path / "a.txt").read_text(encoding="utf-8")
    assert "Invented for the demo yard." in advert
    # the machine file's price stands there without a price list too
    asked = json.loads(one[0].read_text())["asking_price"]["amount"]
    assert main(["judge", machine, "--sheet", sheet, "--advert", str(tmp_path / "b.txt")]) == 0
    assert f"Asking price EUR {asked:,.0f}, without tax." in (tmp_path / "b.txt").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("options", "named"),
    [
        (["--quote", "q.txt"], "--quote"),
        (["--work-order", "w.doc"], "--workshop"),
        (["--advert", "a.pdf"], "--advert"),
        (["--buyer", "same.pdf", "--colleague", "same.pdf"], "--colleague"),
        (["--workbook", "w.csv"], "--workbook"),
        (["--calendar", "c.txt"], "--calendar"),
        (["--quote", "same.pdf", "--work-order", "same.pdf"], "--workshop"),
        (["--quote", "q.pdf", "--valid-until", "2020-01-01"], "valid until"),
        (["--valid-until", "2027-01-01"], "--valid-until"),
        (["--asking-price", "0"], "asking price"),
        (["--asking-price", "nan"], "asking price"),
    ],
)
def test_a_paper_that_cannot_be_made_is_refused_and_none_is_written(
    one, tmp_path, capsys, monkeypatch, options, named
):
    machine, sheet, prices = map(str, one)
    monkeypatch.chdir(tmp_path)
    arguments = ["judge", machine, "--sheet", sheet, "--prices", prices, "--pdf", "paper.pdf", *options]
    assert main(arguments) == NOT_USABLE
    assert named in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("options", [["--quote", "q.pdf"], ["--asking-price", "9000"]])
def test_money_needs_a_price_list(one, tmp_path, capsys, monkeypatch, options):
    machine, sheet, _ = map(str, one)
    monkeypatch.chdir(tmp_path)
    assert main(["judge", machine, "--sheet", sheet, *options]) == NOT_USABLE
    assert "price list" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_a_machine_with_nothing_due_has_no_quote_but_a_workbook(yard, tmp_path, capsys):
    folder = next(path for path in yard.iterdir() if path.name.startswith("01-"))
    sheet = next(folder.glob("sheet-*.csv"))
    arguments = [
        "judge",
        str(folder / "machine.json"),
        "--sheet",
        str(sheet),
        "--prices",
        str(yard / "prices.csv"),
    ]
    assert main([*arguments, "--quote", str(tmp_path / "q.pdf")]) == NOT_USABLE
    assert "no job called stop or book" in capsys.readouterr().err
    assert main([*arguments, "--workbook", str(tmp_path / "w.xlsx")]) == 0


@pytest.mark.parametrize("view", ["side", "part", "record", "above"])
def test_picture_draws_one_machine(one, view, tmp_path, capsys):
    machine, sheet, _ = map(str, one)
    out = tmp_path / "out.svg"
    assert main(["picture", machine, "--sheet", sheet, "--view", view, "--out", str(out)]) == 0
    assert out.read_text(encoding="utf-8").startswith("<svg")
    assert str(out) in capsys.readouterr().out


@pytest.mark.parametrize("view", ["side", "above"])
def test_picture_draws_a_machine_nobody_has_gone_round(yard, view, tmp_path, capsys):
    out = tmp_path / "out.svg"
    machine = str(yard / "01-alder" / "machine.json")
    assert main(["picture", machine, "--view", view, "--out", str(out)]) == 0
    assert "without calls" in capsys.readouterr().out
    drawing = out.read_text(encoding="utf-8")
    assert "not gone round yet: no calls" in drawing
    words = " ".join(re.findall(r"<text[^>]*>([^<]*)<", drawing) + re.findall(r'aria-label="([^"]*)"', drawing))
    assert not re.search(r"\b(run|book|stop)\b", words)
    assert main(["picture", machine, "--view", "part", "--out", str(out)]) == NOT_USABLE
    assert "walk-rounds" in capsys.readouterr().err


def test_picture_draws_several_machines_and_png(yard, tmp_path):
    machines = [str(yard / name / "machine.json") for name in ("07-gorse", "09-ivy")]
    out = tmp_path / "yard.png"
    assert main(["picture", *machines, "--view", "chart", "--out", str(out), "--units", "imperial"]) == 0
    assert out.read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize(
    ("wrong", "named"),
    [
        (["--out", "x.gif"], "--out"),
        (["--out", "x.png", "--tone", "system"], "--tone"),
        (["--out", "x.svg", "--view", "part", "--part", "pad"], "part"),
        (["--out", "x.svg", "--view", "record", "--part", "guard"], "--part"),
    ],
)
def test_picture_says_what_is_wrong(one, wrong, named, capsys, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    machine, sheet, _ = map(str, one)
    assert main(["picture", machine, "--sheet", sheet, *wrong]) == NOT_USABLE
    assert named in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_picture_names_the_machine_that_cannot_be_judged(yard, tmp_path, capsys):
    machines = [str(yard / name / "machine.json") for name in ("01-alder", "07-gorse")]
    assert main(["picture", *machines, "--view", "chart", "--out", str(tmp_path / "x.svg")]) == NOT_USABLE
    assert "01-alder/machine.json" in capsys.readouterr().err
    assert main(["picture", *machines, "--out", str(tmp_path / "x.svg")]) == NOT_USABLE


@pytest.fixture
def soon(monkeypatch):
    """A wide screen, so that no line is broken."""
    monkeypatch.setenv("COLUMNS", "140")


def test_a_plan_is_shown_and_stands_in_the_figures(one, tmp_path, capsys, soon):
    machine, sheet, prices = map(str, one)
    whole = [
        "judge",
        machine,
        "--sheet",
        sheet,
        "--prices",
        prices,
        "--horizon-hours",
        "3000",
        "--stop-cost",
        "600",
    ]
    assert main([*whole, "--calendar", str(tmp_path / "c.ics"), "--workbook", str(tmp_path / "w.xlsx")]) == 0
    shown = capsys.readouterr().out
    for words in (
        "Plan, 3,000 h ahead",
        "before it works again",
        "each job at its own limit",
        "Walk round it again",
    ):
        assert words in shown
    assert main([*whole, "--json"]) == 0
    plan = json.loads(capsys.readouterr().out)["plan"]
    assert plan["proven"]
    assert plan["cost"] == pytest.approx(plan["beside"][0]["cost"])
    assert plan["next_walk_h"] <= plan["latest_walk_h"]
    entries = (tmp_path / "c.ics").read_text(encoding="utf-8")
    days = {stop["day"].replace("-", "") for stop in plan["stops"]}
    assert all(f"DTSTART;VALUE=DATE:{day}" in entries for day in days)


def test_what_cannot_wait_for_the_first_stop_is_told_and_the_quote_is_for_what_is_priced(
    yard, tmp_path, capsys, soon
):
    """Ivy has an upper roller to look into now, and its first stop some hundred hours on."""
    folder = yard / "09-ivy"
    whole = ["judge", str(folder / "machine.json"), "--sheet", str(next(folder.glob("sheet-*.csv")))]
    whole += ["--prices", str(yard / "prices.csv"), "--horizon-hours", "3000", "--quote", str(tmp_path / "q.pdf")]
    assert main(whole) == 0
    shown = capsys.readouterr().out
    assert "Before its first lay-up: Look into upper roller 2, right: not priced." in shown
    assert (tmp_path / "q.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize(
    ("options", "named"),
    [
        (["--horizon-hours", "2"], "horizon"),
        (["--horizon-hours", "nan"], "horizon"),
        (["--horizon-hours", "-4000"], "horizon"),
        (["--horizon-hours", "2000", "--sell-at", "2500"], "sell at"),
        (["--sell-at", "0"], "sell at"),
        (["--horizon-hours", "2000", "--stop-cost", "-1"], "stop cost"),
        (["--horizon-hours", "2000", "--interest", "-3"], "discount rate"),
        (["--interest", "nan"], "discount rate"),
    ],
)
def test_a_plan_that_cannot_be_is_refused(one, options, named, tmp_path, capsys, monkeypatch):
    machine, sheet, prices = map(str, one)
    monkeypatch.chdir(tmp_path)
    arguments = ["judge", machine, "--sheet", sheet, "--prices", prices, "--pdf", "paper.pdf", *options]
    assert main(arguments) == NOT_USABLE
    assert named in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(("wrong", "right"), [(",150,260,", ",-150,260,"), (",150,260,", ",,260,")])
def test_a_price_below_nothing_or_missing_is_refused(one, wrong, right, tmp_path, capsys):
    machine, sheet, _ = map(str, one)
    text = one[2].read_text(encoding="utf-8")
    assert wrong in text
    bad = tmp_path / "prices.csv"
    bad.write_text(text.replace(wrong, right, 1), encoding="utf-8")
    assert (
        main(["judge", machine, "--sheet", sheet, "--prices", str(bad), "--horizon-hours", "2000"]) == NOT_USABLE
    )
    assert "price" in capsys.readouterr().err


@pytest.mark.parametrize("option", ["--horizon-hours", "--sell-at", "--stop-cost", "--interest"])
def test_a_plan_needs_a_price_list(one, option, capsys):
    machine, sheet, _ = map(str, one)
    assert main(["judge", machine, "--sheet", sheet, option, "2000"]) == NOT_USABLE
    assert "price list" in capsys.readouterr().err


def test_a_plan_is_drawn_as_a_strip(one, tmp_path, soon):
    machine, sheet, prices = map(str, one)
    out = tmp_path / "strip.svg"
    whole = ["picture", machine, "--sheet", sheet, "--view", "hours-line", "--out", str(out)]
    assert main([*whole, "--prices", prices, "--horizon-hours", "3000"]) == 0
    drawing = out.read_text(encoding="utf-8")
    assert drawing.startswith("<svg")
    assert "replace 5 at lay-up 1" in drawing


@pytest.mark.parametrize(
    "options",
    [["--view", "hours-line"], ["--view", "hours-line", "--horizon-hours", "3000"], ["--horizon-hours", "3000"]],
)
def test_a_strip_needs_a_plan_and_a_plan_a_strip(one, options, tmp_path, capsys):
    machine, sheet, _ = map(str, one)
    out = tmp_path / "x.svg"
    assert main(["picture", machine, "--sheet", sheet, "--out", str(out), *options]) == NOT_USABLE
    assert "--view" in capsys.readouterr().err
    assert not out.exists()


def test_verdict_for_a_past_day_says_so(one, capsys, monkeypatch):
    """Left out, the day is that of the last walk-round: the same files give the same verdict on any day."""
    machine, sheet, _ = map(str, one)
    monkeypatch.setenv("PITCHLINE_TODAY", "2027-02-08")
    main(["judge", machine, "--sheet", sheet, "--json"])
    said = capsys.readouterr()
    assert json.loads(said.out)["as_of"] == "2026-11-16"
    assert said.err == "Judged for the day of the last walk-round, read 12 weeks ago. For today: --as-of today\n"
    main(["judge", machine, "--sheet", sheet, "--json", "--as-of", "today"])
    said = capsys.readouterr()
    assert json.loads(said.out)["as_of"] == "2027-02-08"
    assert said.err == ""


def loaded(*words):
    """What a whole process has imported when it has done what was asked."""
    told = "import atexit, sys; atexit.register(lambda: print(*sys.modules, file=sys.stderr))"
    call = [sys.executable, "-c", f"{told}; from pitchline.cli import main; main()", *words]
    ended = subprocess.run(call, check=True, capture_output=True, text=True)  # noqa: S603
    return set(ended.stderr.split())


def test_help_loads_no_command_and_nothing_a_command_needs():
    needed = {"numpy", "scipy", "pydantic", "django", "pyarrow", "typst", "rich", "openpyxl"}
    assert loaded("--help") & (needed | {"pitchline.cli"}) == {"pitchline.cli"}


def test_judging_from_csv_files_loads_no_paper_no_workbook_and_no_desk(one):
    machine, sheet, prices = map(str, one)
    not_needed = {
        "django",
        "pyarrow",
        "typst",
        "openpyxl",
        "xlsxwriter",
        "icalendar",
        "scipy.stats",
        "pitchline.fleet",
    }
    assert loaded("judge", machine, "--sheet", sheet, "--prices", prices) & (not_needed | {"scipy"}) == {"scipy"}


def test_what_somebody_typed_is_told_as_typed(one, tmp_path, capsys):
    """Of `:x:` a terminal library made a red cross."""
    machine = tmp_path / "m.json"
    typed = json.loads(one[0].read_text(encoding="utf-8"))
    typed["machine"]["mass"] = "[/b] :x: 3"
    machine.write_text(json.dumps(typed), encoding="utf-8")
    assert main(["judge", str(machine)]) == NOT_USABLE
    assert "'[/b] :x: 3'" in capsys.readouterr().err


def test_a_file_is_named_by_its_path_as_given(one, tmp_path, capsys, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert main(["judge", "yard/none.json"]) == NOT_USABLE
    said = capsys.readouterr().err
    assert "  yard/none.json: There is no such file: check name and folder." in said
    (tmp_path / "a").mkdir()
    (tmp_path / "a" / "machine.json").write_text("{", encoding="utf-8")
    assert main(["picture", str(one[0]), "a/machine.json", "--view", "chart", "--out", "x.svg"]) == NOT_USABLE
    assert "  a/machine.json, row 1" in capsys.readouterr().err


def test_a_sheet_says_every_ending_it_can_have(one, tmp_path, capsys):
    assert main(["sheet", str(one[0]), "--out", str(tmp_path / "x.ods")]) == NOT_USABLE
    assert "ending in .csv, .xlsx or .pdf" in capsys.readouterr().err


def test_work_done_is_written_into_the_machine_file_and_judged(one, tmp_path, capsys):
    machine = str(one[0])
    out, again = tmp_path / "after.json", tmp_path / "again.json"
    words = [
        "done",
        machine,
        "fitted_new",
        "bottom_roller/left/1",
        "--date",
        "2026-08-20",
        "--hours",
        "2010",
        "--by",
        "A fitter",
    ]
    assert main([*words, "--labour", "120", "--currency", "EUR", "--out", str(out)]) == 0
    assert "fitted new, bottom_roller/left/1" in capsys.readouterr().out
    (work,) = read_machine(out).work
    assert (work.key, work.by, work.spent.total, work.service_h) == ("w1", "A fitter", 120.0, 2010.0)
    assert read_machine(one[0]).work == ()
    assert (
        main(
            [
                "done",
                str(out),
                "mended",
                "idler/left/1",
                "--date",
                "2026-08-20",
                "--hours",
                "2010",
                "--out",
                str(again),
            ]
        )
        == NOT_USABLE
    )
    assert "something that was seen there" in capsys.readouterr().err
    assert not again.exists()
    right = ["--put-right", "idler/left/1:leak"]
    assert (
        main(["done", str(out), "mended", "idler/left/1", "--date", "2026-08-20", "--hours", "2010", *right]) == 0
    )
    assert [one.key for one in read_machine(out).work] == ["w1", "w2"]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (["wing/left"], "wing"),
        (["bottom_roller/left/first"], "such as bottom_roller/left/3"),
        (["bottom_roller/left/1", "idler/left/1"], "one kind of part"),
        (["bottom_roller/left/1", "--labour", "5"], "currency"),
        (["bottom_roller/left/1", "--put-right", "leak"], "leak"),
    ],
)
def test_work_that_cannot_be_is_refused_and_nothing_is_written(one, capsys, change, said):
    before = one[0].read_bytes()
    words = ["done", str(one[0]), "fitted_new", *change, "--date", "2026-08-20", "--hours", "2010"]
    assert main(words) == NOT_USABLE
    assert said in capsys.readouterr().err
    assert one[0].read_bytes() == before
