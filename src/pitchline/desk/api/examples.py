"""One example of everything the API takes and gives, all of it invented; a test holds each against its schema."""

import json
from pathlib import Path
from typing import Any

_HERE = Path(__file__).parent
_MACHINE_ID = "0b7c9a52-5b0e-4c39-9d53-1f6a2f0d7c11"
_ROUND_ID = "5f0f6c1e-8a3d-4b57-b1c8-92d4e0a7f3aa"
_VERDICT_ID = "c2a1f4d0-3f2b-4e61-8f0e-7d9b6a5c4e33"
_PRICES_ID = "a94d2e7b-61c5-4d8f-9e20-3b7f1c6d5e88"
_KEY = "3d1e6f90-2b4a-4c8d-a5e7-6f8091a2b3c4"

_MACHINE: dict[str, Any] = {
    "id": _MACHINE_ID,
    "short_name": "01-alder",
    "name": "Excavator Alder (invented)",
    "kind": "excavator",
    "customer": "Invented Earthworks",
    "site": "North yard",
    "place": "North yard",
    "serial_number": "INV-00417",
    "year_built": 2014,
    "owner_number": "7",
    "asking_price": {"amount": 52000.0, "currency": "EUR"},
    "hours_text": "4200",
    "hours_h": 4200.0,
    "version": 3,
    "archived": False,
    "invented": True,
    "gear_entered": True,
    "last_walk_on": "2026-09-07",
    "judged_for": "2026-09-21",
    "carried_h": 64.0,
    "readings": "read 2 weeks ago, carried on 64 h",
    "call": "book",
    "stake": "falls_due",
    "called": "book: falls due",
    "looked_at": 39,
    "looked_of": 39,
    "due": {
        "said": "bushes, left",
        "cautious_h": 310.0,
        "middle_h": 620.0,
        "hopeful_h": 1050.0,
        "day": "2027-01-29",
    },
    "money": {"low": 3600.0, "usual": 4150.0, "high": 4900.0, "currency": "EUR"},
    "running_gear_worth": {"cautious": 8100.0, "middle": 9300.0, "hopeful": 10600.0, "currency": "EUR"},
    "waiting": False,
    "not_judged_because": "",
    "verdict_id": _VERDICT_ID,
}
_ON_SHELF: dict[str, Any] = {
    "id": _KEY, "number": "R-1", "what": "bottom_roller", "gear_id": None, "count": 3, "promised": 2, "depot": "",
    "place": "rack 4", "used": False, "reading": "", "cost": 310.0, "note": "invented", "version": 1,
}  # fmt: skip
_FILE: dict[str, Any] = {
    "format": "pitchline-machine/1",
    "machine": {
        "short_name": "18-willow",
        "name": "Excavator Willow",
        "kind": "excavator",
        "mass": "20.3 t",
        "note": "invented",
    },
    "running_gear": {
        "track": "steel",
        "joints_per_side": 47,
        "pitch": "187 mm",
        "shoe_width": "570 mm",
        "sprocket_teeth": 25,
        "sprocket_gaps": "every_second",
        "bottom_rollers_per_side": 7,
        "upper_rollers_per_side": 2,
    },
    "limits": [
        {"part": "link", "measurand": "rail_height", "new": "107 mm", "limit": "97 mm", "source": "invented"}
    ],
    "hours": {"per_week": {"low": 20, "usual": 30, "high": 40}},
}
_ROUND_ROW: dict[str, Any] = {
    "id": _ROUND_ID,
    "machine_id": _MACHINE_ID,
    "state": "draft",
    "date": "2026-11-25",
    "service_h": 4460.0,
    "by": "A fitter",
    "source": "",
}
_READING: dict[str, Any] = {
    "key": "link/left:rail_height",
    "read": ["104.5", "104.7 mm"],
    "unit": "mm",
    "joints": "",
    "tool": "depth_gauge",
    "keep": "",
    "value_m": 0.1046,
    "problem": "",
    "version": 1,
}
_SEEN: dict[str, Any] = {
    "key": "bottom_roller/left/3:leak",
    "severity": "clear",
    "count": 1,
    "bad": "clear",
    "many": 1,
    "on_one": None,
    "note": "oil on the flange",
    "version": 1,
}
_ASIDE: dict[str, Any] = {"id": 7, "key": "link/right:rail_height", "said": "103.9", "who": "ben"}
_ROUND: dict[str, Any] = _ROUND_ROW | {
    "date_text": "2026-11-25",
    "hours_text": "4460",
    "hours_are": "meter",
    "unit": "mm",
    "version": 2,
    "readings": [_READING],
    "seen": [_SEEN],
    "looked_over": ["final_drive/left", "final_drive/right"],
    "aside": [_ASIDE],
}
_VERDICT_ROW: dict[str, Any] = {
    "id": _VERDICT_ID,
    "machine_id": _MACHINE_ID,
    "as_of": "2026-09-07",
    "from_service_h": 4200.0,
    "call": "book",
    "headline": "Turn the bushes, left, in about 620 h.",
    "made_at": "2026-11-25T09:30:00Z",
    "who": "ann",
    "method": "one-machine outlook, constants integrated",
    "version": "0.1.0",
    "price_list_id": _PRICES_ID,
    "papers": None,
}
_PRICE_ROW: dict[str, Any] = {
    "id": _PRICES_ID,
    "name": "prices.csv",
    "entered_at": "2026-11-01T08:00:00Z",
    "who": "ann",
    "in_force": True,
    "why": "",
    "taken_back_at": None,
}
_EVERY_MACHINE = {"family": "", "mass_from_kg": None, "mass_under_kg": None, "gear_list": ""}
_PRICE_LINE: dict[str, Any] = {
    "job": "turn",
    "part": "bush",
    "per": "each",
    "low": 900.0,
    "usual": 1100.0,
    "high": 1400.0,
    "labour_h": 9.0,
    "machines": _EVERY_MACHINE,
}


_QUOTE_ID = "6f2f3a58-9d3d-4b8e-8a1a-52d7c5f0a7b4"
_QUOTE: dict[str, Any] = {
    "id": _QUOTE_ID, "machine_id": _MACHINE_ID, "number": "T1-20261130-F1", "on": "2026-11-30", "valid_until": "2026-12-30",
    "customer": "Invented Earthworks", "notes": "", "who": "ann", "at": "2026-11-30T10:00:00Z", "price_list_id": _PRICES_ID,
    "currency": "EUR", "net": 695.0, "tax_rate": 0.2, "gross": 834.0, "put_away_at": None,
    "lines": [
        {
            "said": "Replace 2 bottom rollers", "job": "replace", "part": "bottom_roller", "count": 2, "per": "each",
            "labour_h": 3.0, "listed": 660.0, "price": 660.0, "why": "",
        },
        {
            "said": "Carriage", "job": "", "part": "", "count": 1, "per": "", "labour_h": None, "listed": None, "price": 35.0,
            "why": "",
        },
    ],
    "charges": [],
}  # fmt: skip


def _list(item: dict[str, Any]) -> dict[str, Any]:
    return {"items": [item], "page": 1, "pages": 1, "count": 1}


_WORK: dict[str, Any] = {
    "id": _KEY,
    "what": "fitted_new",
    "places": ["bottom_roller/left/3"],
    "date": "2026-09-21",
    "service_h": 4264.0,
    "seen_on": "2026-09-07",
    "put_right": [{"place": "bottom_roller/left/3", "seen": "leak"}],
    "sizes": [],
    "by": "A fitter",
    "cost": {"labour": 120.0, "parts": 260.0, "currency": "EUR"},
    "reckoned": None,
    "note": "",
    "removed_because": "worn",
}
_CONSTANTS: dict[str, Any] = {
    "id": _VERDICT_ID, "name": "", "learned_on": "2026-11-30", "who": "ann", "machines": 412, "parts": 5210, "readings": 9804,
    "used_at": None, "used_by": "", "taken_back_at": None,
    "moved": [
        {
            "what": "life of bushes on middling ground", "unit": "h",
            "before": {"low": 2300.0, "middle": 5000.0, "high": 10800.0},
            "now": {"low": 4810.0, "middle": 5130.0, "high": 5470.0},
        },
    ],
    "audit": [
        {
            "kind": "bush_od", "readings": 610, "machines": 280, "inside_50": 0.51, "inside_80": 0.81, "inside_90": 0.9,
            "width": "as promised",
        },
    ],
    "said": ["The ranges keep their promise."], "not_learned_from": [],
}  # fmt: skip


_JOB: dict[str, Any] = {
    "id": _KEY, "state": "done", "of": 2, "done": 2, "refused": 1, "at": "2026-11-25T09:30:00Z",
    "done_at": "2026-11-25T09:30:02Z",
}  # fmt: skip


def _read(name: str) -> Any:
    return json.loads((_HERE / name).read_text(encoding="utf-8"))


_PHOTO_ID, _NAME_ID = "7d3c5a10-64b2-4f0e-9c8a-2e51b7d0f466", "e81f2b94-0a6d-4d1c-b3f7-95c4a2e86d17"
_NAMED: dict[str, Any] = {
    "id": _NAME_ID, "part": "bush", "tip_x": 31, "tip_y": 64, "at_x": 60, "at_y": 20, "who": "A fitter",
}  # fmt: skip
_PHOTO: dict[str, Any] = {
    "id": _PHOTO_ID, "caption": "Left side", "place": "bush/left", "kept_at": "2026-11-25T09:30:00Z", "who": "A fitter",
    "width": 1600, "height": 1200, "address": f"/photos/{_PHOTO_ID}/page", "names": [_NAMED],
}  # fmt: skip
EXAMPLES: dict[str, Any] = {
    "key": _KEY,
    "machine_id": _MACHINE_ID,
    "walk_round_id": _ROUND_ID,
    "verdict_id": _VERDICT_ID,
    "price_list_id": _PRICES_ID,
    "quote_id": _QUOTE_ID,
    "item_id": _KEY,
    "aside_id": 7,
    "page": 1,
    "horizon_h": 3000,
    "seen_version": 3,
    "NewMachine": {"kind": "excavator", "name": "Excavator Willow", "hours": "8150", "site": "North yard"},
    "MachineChange": {"seen_version": 3, "customer": "Invented Earthworks"},
    "Archive": {"archived": True},
    "NewWalkRound": {},
    "Nothing": {},
    "Lines": {
        "writer": "b0d6a1c8-4c17-4f0b-8f3e-5a9c2d7e6b10",
        "lines": [
            {"key": "head", "seen_version": 1, "hours": "4460", "by": "A fitter"},
            {"key": "link/left:rail_height", "read": ["104.5", "104.7 mm"], "tool": "depth_gauge"},
            {"key": "bottom_roller/left/3:leak", "severity": "clear", "count": 1, "note": "oil on the flange"},
        ],
    },
    "work_id": _KEY,
    "photo_id": _PHOTO_ID,
    "photo_name_id": _NAME_ID,
    "NameOnPhoto": {"part": "bush", "tip_x": 31, "tip_y": 64, "at_x": 60, "at_y": 20},
    "NamedOnPhoto": _NAMED,
    "Photo": _PHOTO,
    "PhotoList": _list(_PHOTO),
    "NewWork": {
        "seen_version": 3, "what": "fitted_new", "places": ["bottom_roller/left/3"], "date": "2026-09-21", "hours": "4264",
        "put_right": [{"place": "bottom_roller/left/3", "seen": "leak"}], "by": "A fitter", "labour": "120", "parts": "260",
        "removed_because": "worn",
    },
    "LookedForSaid": {"about": "sign:hot", "there": True, "note": "the hub smelt"},
    "torque": "530",
    "thread": "M20",
    "lead": "2.5",
    "bolt": "10.9",
    "TorqueSaid": {"said": "Plausible for the bolt."},
    "table": "parts",
    "depot": "North",
    "customer": "Invented Earthworks",
    "kind": "excavator",
    "changed_since": "2026-09-21T00:00:00Z",
    "TablePage": _list({"machine": "Excavator Alder (invented)", "part": "bush", "side": "left", "middle_h": 620.0}),
    "HoursSent": {
        "rows": [
            {"machine": "01-alder", "at": "2026-09-21", "hours": 4264.0},
            {"machine": "INV-00417", "at": "2026-09-22T17:30:00Z", "hours": 4270.5, "idle_hours": 1102.0},
        ]
    },
    "HoursCame": {"taken": 2, "known": 0, "asked": 0, "waiting": 0, "left_out": []},
    "HoursList": _list(
        {
            "at": "2026-09-22T17:30:00Z", "hours": 4270.5, "idle_h": 1102.0, "latitude": None, "longitude": None,
            "source": "API", "state": "taken",
        }
    ),
    "WorkOut": {"seen_version": 4, "why": "It was roller 4."},
    "Work": _WORK,
    "constants_id": _VERDICT_ID,
    "ending": "csv",
    "ConstantsSet": _CONSTANTS,
    "Learning": {
        "in_use_id": None, "asked": False, "machines_needed": 30, "machines_read": None, "failed": None,
        "constants": [_CONSTANTS],
    },
    "WorkList": _list(_WORK),
    "PutAway": {"away": True, "why": "Begun on the wrong machine."},
    "Settle": {"take": True},
    "NewQuote": {
        "lines": [{"job": "replace", "part": "bottom_roller", "count": 2}],
        "own_lines": [{"words": "carriage", "price": "35"}], "customer": "Invented Earthworks",
    },
    "part": "bottom roller",
    "read": "tread diameter=168; bolt spacing along=180.4; flanges=2",
    "doubt": "0.5 mm",
    "FittingParts": {
        "said": "R2 fits what was read (99 in 100). Compare it with the part's own papers before it is ordered.",
        "fits": True, "none": 0.0004, "read_next": [], "looked_through": 2,
        "parts": [
            {
                "number": "R2", "chance": 0.99, "does_not_agree": [], "note": "invented", "listed_in": "table",
                "sizes": {"tread diameter": "180.0 mm", "bolt spacing along": "180.0 mm", "flanges": "2"},
                "list_id": _QUOTE_ID, "list_name": "Rollers",
            },
            {
                "number": "R1", "chance": 0.0096, "does_not_agree": ["flanges"], "note": "", "listed_in": "table",
                "sizes": {"tread diameter": "180.0 mm", "bolt spacing along": "180.0 mm", "flanges": "1"},
                "list_id": _QUOTE_ID, "list_name": "Rollers",
            },
        ],
    },
    "ShelfCount": {"count": 3, "why": "counted anew", "seen_version": 1},
    "Shelf": {"items": [_ON_SHELF]},
    "OnShelf": _ON_SHELF,
    "LayUpOrders": {
        "lay_ups": [
            {
                "number": 1, "day": "2027-01-29", "kept": True,
                "lines": [
                    {"what": "bottom roller, one flange", "count": 8, "on_shelf": 3, "to_order": 5, "note": ""},
                    {"what": "joining pin, or bolts of the joining link", "count": None, "on_shelf": None, "to_order": None,
                     "note": "which kind: look at the chain"},
                ],
            }
        ]
    },
    "GearsListed": {
        "said": "By all that was read and counted it is Heath 190 of the gear list (98 in 100).", "fits": True, "none": 0.004,
        "gears": [
            {"id": _QUOTE_ID, "name": "Heath 190", "chance": 0.98, "does_not_agree": [], "given": True},
            {"id": _KEY, "name": "Heath 203", "chance": 0.016, "does_not_agree": ["chain: pitch"], "given": False},
        ],
        "read_next": [], "read_on": "2026-09-07",
    },
    "QuoteAway": {"away": True},
    "Quote": _QUOTE,
    "QuoteList": _list(_QUOTE),
    "job_id": _KEY,
    "list_id": _KEY,
    "member_id": 7,
    "brought_id": 7,
    "slug": "hours",
    "filename": "sheet.csv",
    "ManyWrites": {
        "writes": [
            {"path": "/machine-files", "body": _FILE},
            {"method": "PATCH", "path": f"/machines/{_MACHINE_ID}", "body": {"seen_version": 3, "site": "North yard"}},
        ]
    },
    "JobShown": _JOB,
    "JobList": _list(_JOB),
    "PieceList": _list(
        {
            "number": 2, "method": "PATCH", "path": f"/machines/{_MACHINE_ID}", "key": _KEY, "status": 409, "made": "",
            "problems": [
                {"field": "seen_version", "value": "3", "allowed": "4",
                "next_step": "Look at what is there now, and send it again."}
            ],
        }
    ),
    "MachineListSent": {
        "id": _KEY, "name": "machines.csv", "state": "shown", "failed": False, "done": 0, "of": 0, "rows_new": 1,
        "rows_changed": 0,
        "rows_unchanged": 0, "rows_refused": 0, "problems": [], "changed_meanwhile": False, "undo_id": None,
        "rows": _list({"row": 2, "what": "new", "name": "Dozer Hazel (invented)", "machine_id": _MACHINE_ID, "problems": []}),
    },
    "Readable": {
        "machine_id": _MACHINE_ID,
        "places": [
            {
                "key": "link/left", "part": "link", "side": "left", "number": 0, "name": "links, left",
                "quantities": [
                    {
                        "key": "link/left:rail_height", "measurand": "rail_height", "name": "rail height",
                        "how": "From seat to rail.",
                        "worn": "falls", "previous": "", "new_m": 0.107, "limit_m": 0.097, "limit_assumed": False,
                        "source": "invented",
                    }
                ],
                "findings": [
                    {"key": "link/left:crack", "finding": "crack", "name": "crack", "counted": True, "on_one": False}
                ],
                "looked_over": "link/left:nothing",
            }
        ],
        "tools": [
            {
                "name": "depth_gauge", "label": "Depth gauge", "resolution_m": 0.0001, "permitted_error_m": 0.0002,
                "repeatability_m": 0.0002,
            }
        ],
    },
    "Done": {
        "said": ["Saved."], "left": [], "address": f"/machines/{_MACHINE_ID}/", "id": _MACHINE_ID, "undo_id": _KEY, "link": "",
    },
    "MachineFile": _FILE,
    "Machine": _MACHINE,
    "MachineList": _list(_MACHINE),
    "Yard": {
        "machines": 17, "stop": 3, "book": 6, "run": 7, "not_judged": 1, "looked_at_in_part": 2, "waiting": 0,
        "money": 48200.0, "running_gear_worth": 164300.0, "currency": "EUR",
    },
    "Brought": {"machine": _MACHINE, "added": True},
    "WalkRound": _ROUND,
    "WalkRoundList": _list(_ROUND_ROW),
    "Saved": {
        "lines": [
            {
                "key": "link/left:rail_height",
                "version": 1,
                "words": "saved",
                "problem": "",
                "aside": False,
                "warned": [],
            }
        ],
        "told": "12 of 46 read",
        "missing": 34,
    },
    "VerdictRow": _VERDICT_ROW | {"papers": ["buyer.pdf", "colleague.pdf", "quote.pdf", "verdict.json"]},
    "VerdictList": _list(_VERDICT_ROW),
    "PriceLists": _list(_PRICE_ROW),
    "PriceList": _PRICE_ROW
    | {"currency": "EUR", "labour_per_h": 62.0, "tax_rate": 0.2, "source": "invented", "lines": [_PRICE_LINE],
       "figures": [{"name": "lorry", "amount": 900.0, "machines": _EVERY_MACHINE | {"mass_from_kg": 28000.0}}]},
    "Verdict": _read("verdict-example.json"),
    "PlanAnswer": _read("plan-example.json"),
    "text/csv": (
        "currency,EUR\nlabour per hour,62\nsource,invented\n\n"
        "job,part,per,price low,price usual,price high,labour hours\nturn,bush,each,900,1100,1400,9\n"
    ),
}  # fmt: skip


OF_A_FIELD: dict[str, Any] = {
    "track": "steel", "joints_per_side": 47, "pitch": "187 mm", "shoe_width": "570 mm", "sprocket_teeth": 25, "layout": "level",
    "sprocket_gaps": "every_second", "bottom_rollers_per_side": 7, "upper_rollers_per_side": 2, "shoe_class": "standard",
    "name": "Wide steel", "day": "2026-11-30", "old_h": "4260", "new_h": "0", "percent": "103", "labour": "100", "step": "1",
    "address": "https://hours.example/snapshot", "send_to": "https://program.example/hook", "shelf_number": "R2",
    "shelf_what": "bottom_roller", "count": "4", "sign_in": "none", "every_h": 24, "machine": [_MACHINE_ID], "list": _PRICES_ID,
    "role": "fitter", "called": "A fitter", "caption": "Left side", "units": "metric", "numbers": "point", "days": "iso",
    "away": True, "archived": True, "out": True, "stopped": True, "off": True, "seen_version": 3, "seen": {_MACHINE_ID: 3},
    "decision": "take", "why": "It was read again.",
}  # fmt: skip
"""What stands in a required field of a page's own form."""


def refused_example(code: int) -> dict[str, Any]:
    """A refusal of this status."""
    field, value, allowed, step = _REFUSED[code]
    problem = {"field": field, "value": value, "allowed": allowed, "next_step": step}
    return {"problems": [problem], "now": _MACHINE if code == 409 else None}


_REFUSED: dict[int, tuple[str, str, str, str]] = {
    400: (
        "Idempotency-Key",
        "nothing",
        "a UUID in its long form",
        "Make a new UUID for each thing you want done.",
    ),
    401: ("Authorization", "nothing", "a token, or a session", "Send a token as “Authorization: Bearer …”."),
    403: ("Origin", "https://elsewhere.example", "the desk itself", "Send it from the desk's own pages."),
    404: (
        "address",
        "No such machine in this yard.",
        "something that is in this yard",
        "Look in the lists first.",
    ),
    409: ("seen_version", "2", "3", "Look at what is there now, and send your change again with its version."),
    412: (
        "If-Match",
        '"0f3a"',
        '"7c1e"',
        "Look at what is there now, and send your change again with its ETag.",
    ),
    413: ("body", "12000000 bytes", "up to 10 MB", "Send less at a time."),
    415: ("Content-Type", "text/plain", "application/json", "Name what you send."),
    422: ("body.name", "nothing", "Field required", "Correct it and send it again."),
    429: ("desk", "2 at work", "a free place", "Wait as long as Retry-After says, and ask again."),
}
