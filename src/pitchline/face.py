"""What a script or a notebook calls: `import pitchline`. See docs/reference/python.md."""

import datetime as dt
import os
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol, TypeAlias

from pitchline.exchange.machine_file import machine_from_json
from pitchline.exchange.machine_file import read_machine as read_machine_file
from pitchline.exchange.prices_file import read_prices as read_prices_file
from pitchline.exchange.sheet import read_sheet, with_walk_rounds
from pitchline.ground.describe import ground_named
from pitchline.ground.fit import ground_fit
from pitchline.ground.going import Task
from pitchline.ground.results import GroundFit
from pitchline.ground.standing import standing
from pitchline.judge import judge
from pitchline.money.prices import PriceList
from pitchline.picture.ink import Tone
from pitchline.picture.views import Wanted, drawn
from pitchline.stops.settings import PlanSettings
from pitchline.trade.dossier import Dossier
from pitchline.trade.errors import InputError as InputError
from pitchline.trade.errors import NotAllowedError as NotAllowedError
from pitchline.trade.measurands import Measurand
from pitchline.trade.parts import PartKind, Side
from pitchline.trade.units import UnitSystem
from pitchline.trade.writing import writing
from pitchline.verdict import Verdict
from pitchline.words import say

if TYPE_CHECKING:
    import pyarrow

File: TypeAlias = str | os.PathLike[str]


class Frame(Protocol):
    """Any table that hands itself over as Arrow: of pandas from 2.2, of polars, of pyarrow."""

    def __arrow_c_stream__(self, requested_schema: object | None = None) -> object:
        """The table as a stream (the Arrow PyCapsule interface)."""
        ...


class Drawing(str):
    """A drawing as SVG text; a notebook shows it as a picture."""

    __slots__ = ()

    def _repr_svg_(self) -> str:
        return str(self)


def read_machine(machine: File, sheets: Sequence[File] = ()) -> Dossier:
    """A machine from its file, or from the text of one, with filled walk-round sheets.

    Raises
    ------
    InputError
        With every problem found, if a file cannot be used.
    """
    is_text = isinstance(machine, str) and machine.lstrip().startswith("{")
    dossier = machine_from_json(str(machine), "machine") if is_text else read_machine_file(Path(machine))
    return with_walk_rounds(dossier, [read_sheet(Path(sheet), dossier) for sheet in sheets])


def read_prices(prices: File) -> PriceList:
    """A yard's price list from its file.

    Raises
    ------
    InputError
        With every problem found, if the file cannot be used.
    """
    return read_prices_file(Path(prices))


def judge_machine(
    machine: Dossier | File,
    prices: PriceList | File | None = None,
    as_of: dt.date | None = None,
    units: str = "metric",
    asking: float | None = None,
    planning: PlanSettings | None = None,
) -> Verdict:
    """The whole judgement of one machine, for a day; without one for the day of its last walk-round.

    Raises
    ------
    InputError
        If a file cannot be used.
    NotAllowedError
        If there is no walk-round by that day, or what is asked for needs prices.
    """
    dossier = machine if isinstance(machine, Dossier) else read_machine(machine)
    listed = prices if prices is None or isinstance(prices, PriceList) else read_prices(prices)
    return judge(dossier, listed, as_of, _one_of(UnitSystem, "units", units), asking=asking, planning=planning)


def draw_machine(
    verdict: Verdict,
    view: str = "side",
    side: str = "left",
    part: str | None = None,
    number: int = 0,
    quantity: str | None = None,
    width: int = 1200,
    units: str = "metric",
    tone: str = "system",
) -> Drawing:
    """A drawing: one side, a part, a wear record, both tracks from above, or the hours line of a plan of lay-ups.

    Raises
    ------
    NotAllowedError
        If a word is not known, or the machine has no such part or quantity.
    """
    wanted = Wanted(
        view,
        _one_of(Side, "side", side),
        None if part is None else _one_of(PartKind, "part", part),
        number,
        None if quantity is None else _one_of(Measurand, "quantity", quantity),
        width,
        _one_of(UnitSystem, "units", units),
        _one_of(Tone, "tone", tone),
    )
    return Drawing(drawn([verdict], wanted))


def fit_to_ground(
    machine: Dossier | File,
    ground: str,
    moisture: str | None = None,
    slope_deg: float = 0.0,
    load_kg: float = 0.0,
    reach_m: float = 0.0,
) -> GroundFit:
    """Whether a machine suits a ground by name, with every figure it rests on as a range.

    Raises
    ------
    InputError
        If the machine's file cannot be used.
    NotAllowedError
        If there is no such ground, or a figure is outside its range.
    """
    dossier = machine if isinstance(machine, Dossier) else read_machine(machine)
    task = Task(load_kg, reach_m, slope_deg)
    return ground_fit(standing(dossier.machine, dossier.gear), ground_named(ground, moisture), task)


def outlook_table(
    parts: Frame, readings: Frame, grounds: Frame, kinds: Frame | None = None, ground: int | None = None
) -> "pyarrow.Table":
    """Hours left for the newest part in each position of a fleet, from its tables: docs/reference/fleet-tables.md.

    Raises
    ------
    InputError
        With every problem of the tables.
    NotAllowedError
        If the ground of the hours to come is not 0 to 4.
    """
    import pyarrow
    import pyarrow.parquet

    from pitchline.fleet.run import run_outlook

    tables = {"parts": parts, "readings": readings, "grounds": grounds, "kinds": kinds}
    with tempfile.TemporaryDirectory() as folder:
        for name, frame in tables.items():
            if frame is not None:
                pyarrow.parquet.write_table(pyarrow.table(frame), f"{folder}/{name}.parquet")
        out = Path(folder) / "outlook.parquet"
        run_outlook(Path(folder), out, ground=ground)
        return pyarrow.parquet.read_table(out)


def parts_table(verdict: Verdict) -> "pyarrow.Table":
    """A verdict's parts, one row each: its place, the call and what it is about, and the hours until its work is due."""
    import pyarrow

    with writing(verdict.writing):
        reasons = [say(one.reason) for one in verdict.parts]
    columns: dict[str, tuple[pyarrow.DataType, list[Any]]] = {
        "part": (pyarrow.string(), [one.place.part.value for one in verdict.parts]),
        "side": (pyarrow.string(), [one.place.side.value for one in verdict.parts]),
        "number": (pyarrow.int64(), [one.place.position for one in verdict.parts]),
        "call": (pyarrow.string(), [one.call.value for one in verdict.parts]),
        "stake": (pyarrow.string(), [one.stake and one.stake.value for one in verdict.parts]),
        "job": (pyarrow.string(), [one.job and one.job.value for one in verdict.parts]),
        "reason": (pyarrow.string(), reasons),
        "looked_at": (pyarrow.bool_(), [one.looked_at for one in verdict.parts]),
        "due_cautious_h": (pyarrow.float64(), [one.due and one.due.cautious for one in verdict.parts]),
        "due_middle_h": (pyarrow.float64(), [one.due and one.due.middle for one in verdict.parts]),
        "due_hopeful_h": (pyarrow.float64(), [one.due and one.due.hopeful for one in verdict.parts]),
    }
    return pyarrow.table({name: pyarrow.array(column, kind) for name, (kind, column) in columns.items()})


def _one_of(words: Any, field: str, typed: str) -> Any:
    """What a word stands for; an unknown one is refused with those there are."""
    try:
        return words(typed)
    except ValueError:
        raise NotAllowedError(field, typed, ", ".join(words)) from None
