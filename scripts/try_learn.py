"""A yard of made-up machines, entered over the desk's API, learns by its button; held against the command and against the truth.

    python scripts/try_learn.py [machines, 400]

The machines are invented by bench/fleet_simulator.py, which knows what each part really has left. Printed: whether the
constants are those of `pitchline fleet` on the tables the desk hands out, to the last bit, and how far those on the simulator's
own tables are; how many parts of 100 lie inside their 80 % range, by the truth, and by the audit of the yard's own history.
"""

import json
import os
import sys
import tempfile
import time
import uuid
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "bench"))
SEED = 20261201
LEFT_OUT = ("bush_od", "pitch_4")
"""A chain comes with its bushes, and the simulator changes each by itself: no yard does that."""
NEW_MM = {
    "link_height": 120.0, "shoe_bar": 80.0, "bottom_roller": 180.0, "top_roller": 150.0, "idler": 20.0, "sprocket": 700.0,
}  # fmt: skip
HOURS_A_DAY = 10.0
GEAR = {
    "track": "steel", "joints_per_side": 40, "pitch": "170 mm", "shoe_width": "500 mm", "sprocket_teeth": 23,
    "sprocket_gaps": "every_second", "bottom_rollers_per_side": 1, "upper_rollers_per_side": 1,
}  # fmt: skip


def made_up_tables(machines: int, folder: Path) -> object:
    """Fleet tables of so many machines as the desk takes them, and the truth."""
    from fleet_simulator import KINDS, simulate, write_tables

    fleet = simulate(machines, SEED)
    kept = ~np.isin(np.array(KINDS)[np.arange(16) % len(KINDS)], LEFT_OUT)
    for table in (fleet.parts, fleet.readings, fleet.truth):
        rows = kept[table["position"]]
        for name in table:
            table[name] = table[name][rows]
    rows = ~np.isin(fleet.kinds["kind"], LEFT_OUT)
    for name in fleet.kinds:
        fleet.kinds[name] = fleet.kinds[name][rows]
    fleet.parts["new_mm"] = np.array([NEW_MM[kind] for kind in fleet.parts["kind"]])
    days = np.ceil(fleet.readings["meter_h"] / HOURS_A_DAY).astype(int)
    fleet.readings["day"] = np.datetime_as_string(np.datetime64("2015-01-01") + days)
    write_tables(fleet, folder, parquet=False)
    lines = [
        {
            "format": "pitchline-machine/1",
            "machine": {
                "short_name": f"{number}",
                "name": f"Machine {number}",
                "kind": "excavator",
                "note": "Invented.",
            },
            "running_gear": GEAR,
        }
        for number in range(machines)
    ]
    (folder / "machines.jsonl").write_text("".join(f"{json.dumps(line)}\n" for line in lines))
    return fleet.truth


def entered(folder: Path) -> None:
    """Every machine, over the API: a job of many writes, done as the background does it."""
    from django.test import Client

    from pitchline.desk.api.job_work import JOBS
    from pitchline.exchange.fleet_to_machines import machines_from_tables

    client, machines = Client(), machines_from_tables(folder)
    for start in range(0, len(machines), 100):
        writes = [
            {"method": "POST", "path": "/machine-files", "key": str(uuid.uuid4()), "body": json.loads(text)}
            for text, _ in machines[start : start + 100]
        ]
        answer = client.post(
            "/api/v1/jobs",
            json.dumps({"writes": writes}),
            "application/json",
            headers={"Idempotency-Key": str(uuid.uuid4())},
        )
        if answer.status_code != 201:
            raise SystemExit(answer.content.decode())
        JOBS.work()
        told = client.get(f"/api/v1/jobs/{answer.json()['id']}").json()
        if told["refused"]:
            raise SystemExit(client.get(f"/api/v1/jobs/{answer.json()['id']}/pieces").content.decode()[:2000])


def inside(outlook: Path, truth: dict[str, np.ndarray]) -> tuple[float, int]:
    """Share of parts whose true hours lie inside their 80 % range; of a part past its limit, as much of it as lies there."""
    import pyarrow.parquet as pq
    from fleet_simulator import KINDS

    left = {}
    for machine, position, left_h in zip(truth["machine"], truth["position"], truth["hours_left"], strict=True):
        left[str(machine), KINDS[position % len(KINDS)], "L" if position < len(KINDS) else "R"] = float(left_h)
    found = []
    for row in pq.read_table(outlook).to_pylist():
        left_h, past = left[str(row["machine"]), row["kind"], row["side"]], row["p_past_limit"]
        if left_h > 0:
            found.append(float(row["hours_left_p10"] <= left_h <= row["hours_left_p90"]))
        else:
            found.append(max(0.0, min(past, 0.9) - 0.1) / past if past > 0 else 0.0)
    return float(np.mean(found)), len(found)


def main() -> None:
    """Prints what came of it."""
    machines = int(sys.argv[1]) if len(sys.argv) > 1 else 400
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for one in ("desk", "tables"):
            (folder / one).mkdir()
        os.environ |= {
            "PITCHLINE_DESK_DATA": str(folder / "desk"),
            "DJANGO_SETTINGS_MODULE": "pitchline.desk.settings",
        }
        import django

        django.setup()
        from django.conf import settings
        from django.core.management import call_command

        settings.ALLOWED_HOSTS = ["testserver"]
        call_command("migrate", verbosity=0, interactive=False)
        run(machines, folder)


def run(machines: int, folder: Path) -> None:
    """The yard entered, learned and held against the command and the truth."""
    from django.test import Client

    from pitchline.desk.learning.worker import WORKER
    from pitchline.desk.machine.worker import WORKER as JUDGING
    from pitchline.exchange.learned_file import read_learned, write_learned
    from pitchline.fleet.run import run_outlook

    truth = made_up_tables(machines, folder / "tables")
    JUDGING.start()  # somebody else would judge: nobody waits for it here
    began = time.perf_counter()
    entered(folder / "tables")
    print(f"{machines} made-up machines entered over the API in {time.perf_counter() - began:.0f} s")
    client, began = Client(), time.perf_counter()
    key = {"Idempotency-Key": str(uuid.uuid4())}
    answer = client.post("/api/v1/learning/learn", "{}", "application/json", headers=key)
    if answer.status_code != 200:
        raise SystemExit(answer.content.decode())
    WORKER.work_here()
    told = client.get("/api/v1/learning").json()
    print(f"learned in {time.perf_counter() - began:.0f} s")
    (one,) = told["constants"]
    mine = json.loads(b"".join(client.get(f"/api/v1/learning/constants/{one['id']}")))
    overall = one["audit"][0]
    constants = {}
    for where in ("desk", "simulator"):
        source = folder / "tables"
        if where == "desk":
            source = folder / "fleet.zip"
            source.write_bytes(b"".join(client.get("/api/v1/fleet-tables/parquet")))
        found = run_outlook(source, folder / f"{where}.parquet", cores=1)
        write_learned(found.learned, folder / f"{where}.json", "x")
        constants[where] = json.loads((folder / f"{where}.json").read_text())
        read_learned(folder / f"{where}.json")
    for each in (mine, *constants.values()):
        each["origin"].pop("made_from")
    print(
        f"the command's constants on the desk's tables are the same to the last bit: {_yes(mine == constants['desk'])}"
    )
    print(
        f"on the simulator's own tables, where positions have other names: {_yes(mine == constants['simulator'])}"
    )
    print(f"largest difference of a logarithm there: {_apart(mine, constants['simulator']):.2g}")
    share, parts = inside(folder / "desk.parquet", truth)  # type: ignore[arg-type]
    print(f"true hours left inside the 80 % range: {100 * share:.1f} of 100 parts ({parts:,} parts)")
    print(
        f"later readings inside theirs, held out: {100 * overall['inside_80']:.1f} of 100 ({overall['readings']:,} readings)"
    )


def _yes(same: bool) -> str:
    return "yes" if same else "no"


def _apart(one: object, other: object) -> float:
    if isinstance(one, dict) and isinstance(other, dict):
        return max((_apart(one[key], other[key]) for key in one if key in other), default=0.0)
    if isinstance(one, list) and isinstance(other, list):
        return max((_apart(*pair) for pair in zip(one, other, strict=True)), default=0.0)
    both = isinstance(one, float) and isinstance(other, float)
    return abs(one - other) / max(abs(one), 1.0) if both else 0.0  # type: ignore[operator]


if __name__ == "__main__":
    main()
