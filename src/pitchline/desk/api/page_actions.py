"""The table of what pages do, each an operation: its page, its address, its fields. Rights are the page's own.

What has an operation with a body of its own (machines, walk-rounds, work, quotes, names on photos) is not here.
"""

import re
import uuid
from collections.abc import Mapping
from dataclasses import dataclass, field
from inspect import Parameter, Signature
from typing import Annotated, Any, Literal, cast

from django import forms
from ninja import P, Path, PathEx, Query, Router
from pydantic import BaseModel, Field, create_model

from pitchline.desk.api.base import octets, told
from pitchline.desk.api.bodies import (
    LAST_ROW,
    PATTERN,
    SHOWN,
    Body,
    FileName,
    LineKey,
    Name,
    SeenVersion,
    Sentences,
    Words,
)
from pitchline.desk.api.examples import EXAMPLES, OF_A_FIELD
from pitchline.desk.api.once import key_of
from pitchline.desk.api.pages import fields_sent, run_page
from pitchline.desk.api.shapes import Done
from pitchline.desk.gearbook.forms import BookForm
from pitchline.desk.house.forms import SettingsForm
from pitchline.desk.machine.gear_form import GearForm
from pitchline.desk.meter.forms import ChangedForm, FeedForm
from pitchline.desk.outlook.question import OutlookForm
from pitchline.desk.people.rights import ADDRESSES, OPERATIONS, ROLES
from pitchline.desk.people.who import DeskRequest
from pitchline.desk.pricelist.class_forms import TimesForm
from pitchline.desk.shelf.forms import ItemForm
from pitchline.desk.telling.forms import HookForm
from pitchline.desk.workplan.question import PlanForm

Fields = dict[str, tuple[Any, Any]]
Id = Annotated[uuid.UUID, Field(strict=False)]
Text = Annotated[str, SHOWN, Field(max_length=10_000, json_schema_extra=PATTERN)]
FormFields = Annotated[dict[LineKey, Text], Field(max_length=2_000)]
WHY: Fields = {"why": (Sentences, Field("", description="The reason."))}
SEEN: Fields = {"seen_version": (SeenVersion, Field(description="The version it was seen with."))}
TYPED: Fields = {
    "fields": (
        FormFields,
        Field({}, description="Fields as the page's form has them, by their names in it, as typed."),
    ),
}
AWAY: Fields = {"away": (bool, Field(description="True puts it out of the way, false brings it back."))}
MACHINES: Fields = {"machine": (Annotated[list[Id], Field(max_length=5_000)], Field(description="Their ids."))}
_ROLES = tuple(ROLES)
Role: Any = Literal[_ROLES]
DEPOTS: Fields = {
    "role": (Role, Field(description="What they may: docs/howto/people-and-roles.md.")),
    "depot": (list[Id], Field([], max_length=1_000, description="Depots they are held to; none for all.")),
}


def of_form(form: type[forms.Form], *left_out: str) -> Fields:
    """The fields of a form as those of a body."""
    found: Fields = {}
    for name, asked in form.base_fields.items():
        if name in left_out:
            continue
        said = " ".join(filter(None, (str(asked.label or name).strip(), str(asked.help_text or "")))) or name
        kind = _kind(asked)
        found[name] = (
            (kind, Field(description=said)) if asked.required else (kind | None, Field(None, description=said))
        )
    return found


def _kind(asked: forms.Field) -> Any:
    if isinstance(asked, forms.BooleanField):
        return bool
    if isinstance(asked, forms.IntegerField):
        least, most = cast(
            tuple[int, int], (asked.min_value, asked.max_value)
        )  # no form of ours hands in a function
        return Annotated[int, Field(ge=least, le=most)]
    if isinstance(asked, forms.UUIDField):
        return Id
    if isinstance(asked, forms.ChoiceField):
        choices: Any = asked.choices
        keys = tuple(str(key) for key, _ in choices)
        return Literal[keys] if keys else Words  # none: the yard's own, known when it is asked
    most = getattr(asked, "max_length", None) or 200
    return Annotated[str, SHOWN, Field(max_length=most, json_schema_extra=dict(PATTERN))]


@dataclass(frozen=True, slots=True)
class PageAction:
    """What a page does, as an operation.

    Parameters
    ----------
    name, page, path, said : str
        The operation's name, its page, its address, what it does.
    fields : dict
        Of its body; beside a file, of its address.
    file : bool
        Whether its body is a file.
    key_as : str
        Field that takes the Idempotency-Key as the id of what is made; empty for none.
    renamed : dict
        What the page calls a field or an id of the address.
    """

    name: str
    page: str
    path: str
    said: str
    fields: Fields = field(default_factory=dict)
    file: bool = False
    key_as: str = ""
    renamed: Mapping[str, str] = field(default_factory=dict)


_MACHINE, _ROUND, _GEAR, _PLAN = (
    "machines/{machine_id}/", "walk-rounds/{walk_round_id}/", "gear-list/{entry_id}/", "machines/{machine_id}/plans/{plan_id}/",
)  # fmt: skip
_FEED, _TABLE, _PERSON = "hours-feeds/{feed_id}/", "parts-tables/{table_id}/", "people/{member_id}/"
A = PageAction
ACTIONS: dict[str, tuple[PageAction, ...]] = {
    "machines": (
        A("enter_running_gear", "gear", _MACHINE + "running-gear", "The running gear, entered for the first time or changed.",
          of_form(GearForm)),
        A("fill_in_section", "all-section", _MACHINE + "sections/{slug}", "One section of all that is said of a machine, as its "
          "form has it.", SEEN | WHY | TYPED),
        A("keep_hours_and_ground", "keep-outlook", _MACHINE + "outlook/keep", "Hours a week and grounds, into the machine; it is "
          "judged anew.", SEEN | WHY | of_form(OutlookForm, "window") | TYPED),
        A("stand_at_depot", "stand-at", _MACHINE + "depot", "Another depot, or none.",
          {"depot": (Id | None, Field(None, description="The depot; null for none."))}),
        A("archive_machines", "archive-ticked", "archive", "Several machines out of the yard's list, or back in it.",
          MACHINES | {"archived": (bool, Field(description="True takes them out."))}),
        A("open_demo_yard", "demo", "demo-yard", "The invented demo yard, into this one."),
        A("bring_files", "bring", "files",
          "Machine files, sheets and price lists, one or packed as zip, into the yard.", file=True),
    ),
    "buyers": (
        A("make_buyer_link", "buyer-links", _MACHINE + "buyer-links", "A link for a buyer, shown once: one machine's paper and "
          "photos, until a day. 422 where it is not judged.",
          {"buyer": (Words, Field("", description="For whom; the buyer does not see it.")),
           "lasts": (Literal["7", "14", "30", "90"], Field("30", description="Days until it ends."))}),
        A("take_buyer_link_back", "buyer-link-back", "buyer-links/{link_id}/back", "A link leads nowhere any more."),
    ),
    "walk-rounds": (
        A("take_up_again", "reopen", _ROUND + "reopen",
          "A finished walk-round is a draft again, with a reason; the machine is judged "
          "without it.", WHY),
        A("bring_walk_round", "bring-round", _MACHINE + "sheets", "A filled sheet, CSV or XLSX, becomes a finished walk-round.",
          file=True),
        A("decide_about_brought", "pocket-decide", "brought/{brought_id}", "What a phone brought and needs a look: taken in, put "
          "together with what is there, or let go.",
          {"decision": (Literal["take", "together", "go"], Field(description="What to do.")),
           "machine": (Id | None, Field(None, description="To which machine it goes."))} | WHY),
    ),
    "photos": (
        A("send_photo", "send-photos", _MACHINE + "attachments",
          "A photo or a document of a machine; its id is the Idempotency-Key.",
          {"caption": (Words, Field("", description="What it shows.")), "part": (Words, Field("", description="Place key.")),
           "sheet": (Words, Field("", description="Id of the walk-round it is of.")),
           "finding": (Words, Field("", description="The finding it shows.")),
           "keep_place": (bool, Field(False, description="Whether the place it was taken at stays in it."))},
          file=True, key_as="send_id"),
        A("change_caption", "attachment-caption", "attachments/{attachment_id}/caption", "What is said of a photo or document.",
          SEEN | {"caption": (Words, Field(description="What it shows."))}),
        A("remove_attachment", "attachment-remove", "attachments/{attachment_id}/remove",
          "A photo or document out of sight, and gone "
          "for good after a day."),
    ),
    "undo": (A("take_back", "undo", "undo/{undoable_id}", "Something done within a day, taken back."),),
    "gear list": (
        A("add_to_gear_list", "book-new", "gear-list",
          "A running gear of the gear list, entered once; its id is the Idempotency-Key.",
          of_form(BookForm, "entry_id", "why"), key_as="entry_id"),
        A("bring_gear", "book-bring", "gear-list/files",
          "Running gear from a file: of a gear list, or a whole machine file.", file=True),
        A("change_gear", "book-change", _GEAR + "change", "Name, note, counts and sizes of an entry; a new version.",
          of_form(BookForm, "entry_id")),
        A("change_gear_limits", "book-limits", _GEAR + "limits", "New sizes and wear limits of an entry.", SEEN | WHY | TYPED),
        A("give_gear", "book-fit", _GEAR + "give", "An entry given to machines; each that cannot take it is told in `left`.",
          SEEN | MACHINES | {"seen": (Annotated[dict[LineKey, SeenVersion], Field(max_length=5_000)],
                                      Field(description="Each machine's version when it was seen, by its id."))}, key_as="batch"),
        A("put_gear_away", "book-away", _GEAR + "away", "Out of the gear list, or back.", AWAY),
        A("take_gear_back", "book-undo", "gear-given/{batch}/take-back",
          "Machines get back what they had before they were given it: "
          "`batch` is the key it was given with."),
        A("take_gear_from_machine", "to-book", _MACHINE + "to-gear-list", "A machine's running gear, into the gear list.",
          {"name": (Words, Field("", description="What it is called there; empty for the machine's name."))}, key_as="entry_id"),
    ),
    "learning": (
        A("learn_from_yard", "learn", "learning/learn",
          "Constants, learned from the yard's own walk-rounds and work done, in the background."),
        A("bring_constants", "constants-bring", "learning/constants", "A constants file, as a proposal.", file=True),
        A("use_constants", "constants-use", "learning/constants/{constants_id}/use",
          "A set of constants, in use from now on; every machine is judged anew."),
        A("take_constants_back", "constants-back", "learning/take-back",
          "The set before is in use again, or none; every machine is judged anew."),
        A("bring_fleet_tables", "fleet-tables-bring", "fleet-tables",
          "Fleet tables, packed as zip with the machines' files beside them, become machines with their walk-rounds and history.",
          file=True),
    ),
    "price lists": (
        A("put_in_force_again", "prices-again", "price-lists/{price_list_id}/again",
          "An earlier list in force again, as a new one.",
          WHY, renamed={"price_list_id": "list_id"}),
        A("multiply_prices", "price-times", "price-list-times", "The whole list in force times a percentage.",
          {"list": (Id, Field(description="The list in force."))} | WHY | of_form(TimesForm)),
    ),
    "plans": (
        A("work_out_plan", "work-out", _MACHINE + "plans", "A plan of lay-ups, worked out in the background and kept.",
          of_form(PlanForm)),
        A("keep_plan", "keep-plan", _PLAN + "keep", "A plan as its lay-ups are put, in force from now on.",
          {"steps": (Words, Field("", description="Where each lay-up stands, in steps, parted by commas; empty as worked out.")),
           "seen_kept": (Id | None, Field(None, description="The plan that was in force when it was seen."))} | WHY),
        A("put_plan_away", "put-plan-away", _MACHINE + "plan/put-away", "No plan is in force any more.",
          {"seen_kept": (Id | None, Field(None, description="The plan that was in force when it was seen."))}),
    ),
    "which part fits": (
        A("bring_parts_table", "parts-tables", "parts-tables", "A table of parts, CSV or XLSX.",
          {"replaces": (Id | None, Field(None, description="The table it takes the place of."))}, file=True),
        A("say_columns", "parts-columns", _TABLE + "columns", "What each column of a table holds: holds_0, unit_0 and so on, and "
          "`every`.", TYPED),
        A("put_parts_table_away", "parts-away", _TABLE + "away", "A table out of the way, or back.", AWAY),
    ),
    "hours": (
        A("leave_hours_out", "hours-leave-out", _MACHINE + "hours/leave-out",
          "Hours that are wrong, out, or looked at again; without "
          "a row, all that are asked about.",
          {"row": (Annotated[int, Field(ge=1, le=LAST_ROW)] | None, Field(None, description="Which row.")),
           "left": (bool, Field(True, description="Out, or looked at again."))} | WHY),
        A("tell_meter_changed", "meter-changed", _MACHINE + "hours/meter-changed",
          "The meter was changed: when, and what both showed.",
          of_form(ChangedForm)),
        A("say_whose_hours", "hours-whose", "hours-whose", "Whose hours come under a name nobody knew.",
          {"name": (Name, Field(description="As it comes.")),
           "machine": (Id | None, Field(None, description="Whose it is.")),
           "ignored": (bool, Field(False, description="None of this yard."))}),
        A("set_up_hours_feed", "hours-feed", _FEED + "set-up",
          "Where hours are fetched from; an id nobody used yet is a new one.",
          of_form(FeedForm)),
        A("fetch_hours", "hours-fetch", _FEED + "fetch", "Fetched as soon as somebody has time."),
        A("switch_hours_feed", "hours-off", _FEED + "off", "No longer fetched, or fetched again.",
          {"stopped": (bool, Field(description="True stops it."))}),
    ),
    "shelf": (
        A("add_to_shelf", "shelf-new", "shelf-entries", "An entry of the shelf.", of_form(ItemForm)),
        A("change_shelf_entry", "shelf-item", "shelf-entries/{item_id}/change", "An entry of the shelf, changed.",
          of_form(ItemForm)),
        A("put_shelf_entry_away", "shelf-away", "shelf-entries/{item_id}/away", "An entry out of the way, or back.", AWAY),
        A("bring_shelf", "shelf-bring", "shelf-files", "The shelf from a table, CSV or XLSX.", WHY, file=True),
        A("take_from_shelf", "shelf-take", _MACHINE + "take",
          "Parts of the shelf, taken for a machine, as the page's form has them.",
          TYPED),
    ),
    "hooks": (
        A("add_hook", "hooks", "hooks", "A program that hears of changed verdicts; its secret is shown once in `link`.",
          of_form(HookForm)),
        A("switch_hook", "hook-off", "hooks/{hook_id}/off", "Nothing more is sent there, or again.",
          {"off": (bool, Field(description="True stops it."))}),
        A("try_hook", "hook-try", "hooks/{hook_id}/try", "Something that tells nothing is sent, to see whether it arrives."),
        A("renew_hook_secret", "hook-secret", "hooks/{hook_id}/secret", "Another secret, shown once in `link`."),
        A("remove_hook", "hook-remove", "hooks/{hook_id}/remove", "Gone, with the list of what went there."),
    ),
    "settings": (
        A("change_settings", "settings", "settings",
          "Units, numbers and days, booking window, name on papers; tools as `fields`: "
          "tool-0-name and so on, all of them.", of_form(SettingsForm, "language")
          | {"language": (Words | None, Field(None, description="Its code, such as en; where the desk has several."))} | TYPED),
        A("renew_calendar_feed", "feed-settings", "calendar-feed", "A new address of the calendar feed, or none.",
          {"off": (bool, Field(False, description="True switches it off."))}),
        A("put_phone_out", "phone-out", "phones/{phone_id}/out", "A phone reaches nothing any more."),
    ),
    "people": (
        A("invite_person", "invite", "people/invitations", "A link for somebody new, shown once in `link`.",
          {"called": (Name, Field(description="Who, for your list."))} | DEPOTS),
        A("take_invitation_back", "uninvite", "people/invitations/{invitation_id}/back", "A link leads nowhere any more."),
        A("change_person", "person", _PERSON + "change",
          "Another role, other depots.", DEPOTS, renamed={"role": "p{member_id}-role"}),
        A("put_person_out", "person-out", _PERSON + "out", "Put out, with sessions, tokens and phones ended; or let in again.",
          {"out": (bool, Field(description="True puts out."))}),
        A("new_password_link", "person-password", _PERSON + "password",
          "A link with which somebody sets a new password, in `link`."),
        A("add_depot", "add-depot", "depots", "One depot more.", {"name": (Name, Field(description="Its name."))}),
        A("remove_depot", "remove-depot", "depots/{depot_id}/remove", "One depot less."),
    ),
}  # fmt: skip
OPERATIONS |= {one.name: ADDRESSES[one.page][1] for group in ACTIONS.values() for one in group}
ALL_OR_NONE = ("joints_per_side", "pitch", "shoe_width")
"""Of a running gear some are needed, though none alone."""
_NUMBERED = ("member_id", "brought_id")
_CALLED = {"walk_round_id": "sheet_id"}
router = Router()


def _register(tag: str, one: PageAction) -> None:
    ids = re.findall(r"{(\w+)}", one.path)

    def act(request: DeskRequest, **given: Any) -> Done:
        asked = given.pop("asked")
        values = asked.model_dump(mode="json", exclude_none=True)
        if one.key_as:
            values[one.key_as] = str(key_of(request))
        values = {one.renamed.get(name, name).format(**given): value for name, value in values.items()}
        file = (values.pop("filename"), request.body) if one.file else None
        at = {one.renamed.get(name, _CALLED.get(name, name)): value for name, value in given.items()}
        done = run_page(request, one.page, at, fields_sent(values), file)
        if done.link:  # shown once: it is not kept for a second asking, as it is kept nowhere else
            request.kept_answer = done.model_copy(update={"link": ""}).model_dump_json().encode()  # type: ignore[attr-defined]
        return done

    title = "".join(word.capitalize() for word in one.name.split("_"))
    fields: dict[str, Any] = dict(one.fields)
    if one.file:
        fields["filename"] = (FileName, Field(description="The file's name; its ending says what it is."))
        asked: Any = Query[create_model(f"{title}Asked", __base__=BaseModel, **fields)]  # type: ignore[misc]
    else:
        asked = create_model(title, __base__=Body, __doc__=one.said, **fields)
        needed = [
            name for name, told_of in asked.model_fields.items() if told_of.is_required() or name in ALL_OR_NONE
        ]
        EXAMPLES[title] = {name: OF_A_FIELD[name] for name in needed}
    kinds = dict.fromkeys(ids, Path[uuid.UUID]) | {"slug": PathEx[str, P(pattern="^[a-z-]{1,40}$")]}
    kinds |= dict.fromkeys(_NUMBERED, PathEx[int, P(ge=1, le=LAST_ROW)])
    given = [Parameter(name, Parameter.POSITIONAL_OR_KEYWORD, annotation=kinds[name]) for name in ids]
    first = Parameter("request", Parameter.POSITIONAL_OR_KEYWORD)
    last = Parameter("asked", Parameter.POSITIONAL_OR_KEYWORD, annotation=asked)
    act.__name__, act.__doc__ = one.name, one.said
    act.__signature__ = Signature([first, *given, last])  # type: ignore[attr-defined]
    more = told(404, 409, 422, body=octets() if one.file else None) | {"x-page": one.page}
    router.add_api_operation(f"/{one.path}", ["POST"], act, response=Done, tags=[tag], openapi_extra=more)


for _tag, _group in ACTIONS.items():
    for _one in _group:
        _register(_tag, _one)
