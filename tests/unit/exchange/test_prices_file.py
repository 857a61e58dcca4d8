from dataclasses import replace

import pytest

from pitchline.exchange.prices_file import read_prices, write_blank_prices, write_prices
from pitchline.money.machine_class import MachineClass
from pitchline.money.owning import Owning
from pitchline.money.prices import ClassFigure, ClassOwning, PriceLine, PriceList
from pitchline.money.stop_costs import StopCosts
from pitchline.trade.jobs import JobKind
from pitchline.trade.machine import MachineKind
from pitchline.trade.parts import PartKind

HEAD = "currency,EUR\nlabour per hour,70\nsource,invented\n\n"
COLUMNS = "job,part,per,price low,price usual,price high,labour hours\n"


@pytest.fixture
def reads(tmp_path):
    def read(text):
        (tmp_path / "p.csv").write_text(text)
        return read_prices(tmp_path / "p.csv")

    return read


def test_a_list_by_hand_is_read_and_empty_ends_equal_the_usual_price(reads):
    prices = reads(HEAD + COLUMNS + "re-shoe,shoes,piece,,40,55,0.1\nreplace,bottom roller,,200,220,,1.5\n")
    assert (prices.currency, prices.labour_per_h, prices.source) == ("EUR", 70.0, "invented")
    assert prices.lines == (
        PriceLine(JobKind.RESHOE, PartKind.SHOE, 40.0, 40.0, 55.0, 0.1, "piece"),
        PriceLine(JobKind.REPLACE, PartKind.BOTTOM_ROLLER, 200.0, 220.0, 220.0, 1.5),
    )


def test_decimal_commas_between_semicolons(reads):
    text = (HEAD + COLUMNS + "turn,bush,each,,1,,8").replace(",", ";").replace("1;;8", "1200,50;;8,25")
    line = reads(text).lines[0]
    assert (line.price_usual, line.labour_h) == (1200.5, 8.25)


@pytest.mark.parametrize(
    ("text", "field", "row"),
    [
        (HEAD.replace("EUR", "euro") + COLUMNS, "currency", 1),
        (HEAD.replace("70", "") + COLUMNS, "labour per hour", 2),
        (HEAD.replace("70", "-1") + COLUMNS, "labour per hour", 2),
        (HEAD + COLUMNS + "swap,bush,each,,1,,1\n", "job", 6),
        (HEAD + COLUMNS + "turn,bosh,each,,1,,1\n", "part", 6),
        (HEAD + COLUMNS + "turn,bush,box,,1,,1\n", "per", 6),
        (HEAD + COLUMNS + "turn,bush,each,,,,1\n", "price usual", 6),
        (HEAD + COLUMNS + "turn,bush,each,,nan,,1\n", "price usual", 6),
        (HEAD + COLUMNS + 'turn,bush,each,,"1,200",,1\n', "price usual", 6),
        (HEAD + COLUMNS + "turn,bush,each,5,1,,1\n", "price", 6),
        (HEAD + COLUMNS + "turn,bush,each,,1,,long\n", "labour hours", 6),
        (HEAD + COLUMNS + "turn,bush,each,,1,,1\nturn,bushes,each,,2,,1\n", "job", 7),
        (HEAD + "job,part,per,price low,price usual,price high\n", "column", 5),
        (HEAD + "oops\n", "table header", None),
        ("currency,EUR\n" + HEAD + COLUMNS, "currency", 2),
    ],
)
def test_one_wrong_entry_gives_one_problem_at_its_row(reads, refused, text, field, row):
    (problem,) = refused(reads, text)
    assert (problem.field, problem.row, problem.file) == (field, row, "p.csv")


STOP = (
    "tax percent,7.5 %\nlorry,380\ncall-out,90\nfitter's day,0\nstanding per hour,35\nstanding per hour busy,70.5\n"
    'busy months,"11 to 2, 5"\nopening a track per side,160\n'
)


def test_tax_and_the_cost_of_a_stop_are_read_from_the_head(reads):
    prices = reads(STOP + HEAD + COLUMNS)
    assert prices.tax_rate == pytest.approx(0.075)
    assert prices.stop == StopCosts(380.0, 90.0, 0.0, 35.0, 70.5, (1, 2, 5, 11, 12), 160.0)


def test_an_older_list_without_them_has_none(reads):
    prices = reads(HEAD + COLUMNS)
    assert (prices.tax_rate, prices.stop) == (None, None)


@pytest.mark.parametrize(
    ("entry", "field"),
    [
        ("tax percent,-1", "tax percent"),
        ("tax percent,119", "tax percent"),
        ("tax percent,some", "tax percent"),
        ("lorry,-380", "lorry"),
        ("lorry,free", "lorry"),
        ("standing per hour busy,70", "busy months"),
        ("busy months,4-10", "standing per hour busy"),
        ("busy months,0-3", "busy months"),
        ("busy months,May", "busy months"),
        ("fitters week,80", "head"),
    ],
)
def test_one_wrong_entry_of_the_head_gives_one_problem_at_its_row(reads, refused, entry, field):
    (problem,) = refused(reads, entry + "\n" + HEAD + COLUMNS)
    assert (problem.field, problem.row) == (field, 1)
    assert problem.allowed
    assert problem.next_step


def test_tax_and_stop_come_back_from_both_kinds_of_file(tmp_path, reads):
    prices = reads(STOP + HEAD + COLUMNS)
    for rate in (prices.tax_rate, 0.19, 0.081, 1 / 3, None):
        for name in ("q.csv", "q.xlsx"):
            write_prices(replace(prices, tax_rate=rate), tmp_path / name)
            assert read_prices(tmp_path / name) == replace(prices, tax_rate=rate)


def test_all_problems_come_at_once(reads, refused):
    problems = refused(reads, HEAD.replace("EUR", "e") + COLUMNS + "swap,bosh,box,,x,,y\n")
    assert [problem.field for problem in problems] == [
        "currency",
        "job",
        "part",
        "per",
        "price usual",
        "labour hours",
    ]


def test_both_kinds_of_file_come_back(tmp_path, reads):
    prices = reads(HEAD + COLUMNS + "turn,bush,each,1000,1.1250,2000,8\n".replace("1000", "1"))
    for name in ("q.csv", "q.xlsx"):
        write_prices(prices, tmp_path / name)
        assert read_prices(tmp_path / name) == prices


def test_a_workbook_list_has_drop_downs(tmp_path):
    import openpyxl

    write_prices(PriceList("EUR", 70.0, ()), tmp_path / "q.xlsx")
    sheet = openpyxl.load_workbook(tmp_path / "q.xlsx").worksheets[0]
    assert len(sheet.data_validations.dataValidation) == 3


CLASSES = COLUMNS.replace("hours\n", "hours,family,mass from,mass under,gear list\n")
MIDDLE = MachineClass(mass_from_kg=12e3, mass_under_kg=28e3)
BY_CLASS = (
    "replace,bottom roller,place,180,260,380,2,,,,\n"
    "replace,bottom roller,place,,90,,1,,,4 t,\n"
    "replace,bottom roller,place,,275,,2,,12,28,\n"
    "replace,bottom roller,place,,320,,2,dozer,26500 lb,28000 kg,\n"
    'replace,bottom roller,place,,410,,2,,,,"Wide steel, 47 joints"\n'
    "lorry,,,,900,,,,12 t,28 t,\n"
    "labour per hour,,,,80,,,other tracked machine,,,\n"
    "owning price new,,,,180000,,,,28,,\n"
    "owning life hours,,,,12000,,,,28,,\n"
    "owning hours a year,,,,1000,,,,28,,\n"
    "owning salvage percent,,,,25,,,,28,,\n"
)


def test_rows_for_a_class_of_machine_or_an_entry_of_the_gear_list(reads):
    prices = reads(HEAD + CLASSES + BY_CLASS)
    assert [(line.price_usual, line.which) for line in prices.lines] == [
        (260.0, MachineClass()),
        (90.0, MachineClass(mass_under_kg=4e3)),
        (275.0, MIDDLE),
        (
            320.0,
            MachineClass(MachineKind.DOZER, 26500 * 0.45359237, 28e3),
        ),  # a pound is 0.45359237 kg exactly (1959)
        (410.0, MachineClass(gear="Wide steel, 47 joints")),
    ]
    assert prices.figures == (
        ClassFigure("lorry", 900.0, MIDDLE),
        ClassFigure("labour_per_h", 80.0, MachineClass(MachineKind.OTHER_TRACKED)),
    )
    heavy = MachineClass(mass_from_kg=28e3)
    assert prices.owning == (ClassOwning(Owning(180e3, 12e3, 1e3, salvage=0.25), heavy),)


OWNING = (
    "owning price new,100000\nowning life hours,10000\nowning hours a year,1000\nowning interest percent,3.25\n"
)


def test_rows_of_classes_come_back_from_both_kinds_of_file(tmp_path, reads):
    for head in (HEAD, OWNING + HEAD):
        prices = reads(head + CLASSES + BY_CLASS)
        for name in ("q.csv", "q.xlsx"):
            write_prices(prices, tmp_path / name)
            assert read_prices(tmp_path / name) == prices


ROLLER = "replace,bottom roller,place,,275,,2"


@pytest.mark.parametrize(
    ("rows", "field", "row"),
    [
        (ROLLER + ",digger,,,\n", "family", 6),
        (ROLLER + ",,heavy,,\n", "mass from", 6),
        (ROLLER + ",,,0 t,\n", "mass under", 6),
        (ROLLER + ",,28,12,\n", "mass under", 6),
        (ROLLER + ",dozer,,,Wide\n", "gear list", 6),
        (ROLLER + ",,12,28,\n" + ROLLER + ",,12,28,\n", "job", 7),
        (ROLLER + ",,12,28,\n" + ROLLER + ",,20,,\n", "mass from", 7),
        ("lorry,,,,900,,,,,,\n", "lorry", 6),
        ("lorry,chain,,,900,,,,12,,\n", "part", 6),
        ("lorry,,,,free,,,,12,,\n", "price usual", 6),
        ("lorry,,,,1,,,,12,,\nlorry,,,,1,,,,12,,\n", "job", 7),
        ("standing per hour busy,,,,90,,,,12,,\n", "busy months", 6),
        ("owning life hours,,,,9000,,,,12,,\nowning hours a year,,,,900,,,,12,,\n", "owning price new", 6),
        (
            "owning price new,,,,9,,,,12,,\nowning life hours,,,,9,,,,12,,\nowning hours a year,,,,9999,,,,12,,\n",
            "owning hours a year",
            8,
        ),
    ],
)
def test_one_wrong_row_of_a_class_gives_one_problem_at_its_row(reads, refused, rows, field, row):
    (problem,) = refused(reads, HEAD + CLASSES + rows)
    assert (problem.field, problem.row) == (field, row)
    assert problem.next_step


def test_standing_hour_is_entered_or_reckoned(reads, refused):
    (problem,) = refused(reads, "standing per hour,35\n" + OWNING + HEAD + CLASSES)
    assert (problem.field, problem.seen, problem.row) == ("standing per hour", "both", 1)
    rows = "standing per hour,,,,35,,,,12,,\n" + "".join(
        f"{line.replace(',', ',,,,')},,,,12,,\n" for line in OWNING.splitlines()
    )
    (problem,) = refused(reads, HEAD + CLASSES + rows)
    assert (problem.field, problem.row) == ("standing per hour", 7)


def test_blank_asks_for_everything_and_what_is_not_filled_in_is_left_out(tmp_path):
    for name in ("b.csv", "b.xlsx"):
        write_blank_prices(tmp_path / name)
    text = (tmp_path / "b.csv").read_text("utf-8-sig")
    assert "gear list" in text
    filled = text.replace("currency,", "currency,EUR").replace("labour per hour,", "labour per hour,65")
    filled = filled.replace("replace,bottom roller,each,,,,,", "replace,bottom roller,each,,260,,2,")
    (tmp_path / "b.csv").write_text(filled)
    prices = read_prices(tmp_path / "b.csv")
    assert [(line.job, line.price_usual) for line in prices.lines] == [(JobKind.REPLACE, 260.0)]
    assert (prices.stop, prices.tax_rate, prices.owning) == (None, None, ())


def test_a_list_of_before_prices_by_the_place(tmp_path):
    text = HEAD + COLUMNS + "turn,bush,each,,800,,1\n"
    now, before = tmp_path / "now.csv", tmp_path / "before.csv"
    now.write_text(text, encoding="utf-8")
    before.write_text(text.replace(",each,", ",place,"), encoding="utf-8")
    assert read_prices(before).lines == read_prices(now).lines
    assert read_prices(now).lines[0].per == "each"


def test_look_into_is_read_by_its_word_of_before_too(tmp_path):
    for number, word in enumerate(("look into", "investigate")):
        path = tmp_path / f"{number}.csv"
        path.write_text(HEAD + COLUMNS + f"{word},idler,each,,80,,1\n", encoding="utf-8")
        assert [line.job.value for line in read_prices(path).lines] == ["investigate"]
