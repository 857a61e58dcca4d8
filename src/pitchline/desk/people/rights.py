"""Who may do what: the roles, and the one table of what each address and each operation of the API asks.

Tests hold it for every address and operation; the page People and docs/reference/roles.md are written from it.
"""

from pitchline.words import in_english

LOOK, WALK, DESK, MONEY, CHANGE, WHOLE, KEEP = "look", "walk", "desk", "money", "change", "whole", "keep"
RIGHTS = {
    LOOK: in_english("Look at the yard, its machines, verdicts and papers, without prices"),
    WALK: in_english("Walk round machines, take photos, add a machine and enter its running gear"),
    DESK: in_english("Own password, own phones and tokens; gear list and tables of parts to read"),
    MONEY: in_english("See prices, costs, worth, work plans, quotes and work done"),
    CHANGE: in_english("Change machines and their limits; quote, plan, write work down, give a buyer a link"),
    WHOLE: in_english(
        "Change what holds for the whole yard: prices, gear list, tables of parts, files and lists in; "
        "nobody who is held to depots"
    ),
    KEEP: in_english("Settings, calendar feed, hooks, the door for phones, people and depots"),
}
"""Each right, and what it lets somebody do."""
OWNER, OFFICE, FITTER, READER = "owner", "office", "fitter", "reader"
ROLES = {
    OWNER: frozenset(RIGHTS),
    OFFICE: frozenset((LOOK, WALK, DESK, MONEY, CHANGE, WHOLE)),
    FITTER: frozenset((LOOK, WALK, DESK)),
    READER: frozenset((LOOK, DESK, MONEY)),
}
OF_A_PHONE = frozenset((LOOK, WALK))
"""What a phone that was let in may, if the person it is one's of may: no prices, no settings, no files, no people."""

OPEN = frozenset((
    "sign-in", "sign-out", "alive", "ready", "metrics", "icon", "feed", "machine-feed", "ask-in", "pocket", "pocket-worker",
    "pocket-manifest",
    "pocket-script", "pocket-sheet",
    "welcome", "account_login", "account_logout", "account_inactive", "account_signup", "mfa_authenticate", "mfa_login_webauthn",
    "account_reset_password", "account_reset_password_done", "account_reset_password_from_key",
    "account_reset_password_from_key_done", "for-a-buyer", "for-a-buyer-paper", "for-a-buyer-photo",
    "account_confirm_email", "digest-end",
    "openid_connect_login", "openid_connect_callback", "socialaccount_login_cancelled", "socialaccount_login_error",
    "socialaccount_signup",
))  # fmt: skip
"""What asks nobody to sign in; each holds no row, or its address is the secret."""
_TABLE: tuple[tuple[str, str, str], ...] = (
    (LOOK, "", "yard/machine/part/changes/blank-sheet/paper/ground-fit/outlook/gear-drawn/sheet-code/printed-sheet/which-part/"
               "shelf/shelf-out/primer/primer-part/primer-seen/primer-lesson/primer-practice/primer-piece/bolt-torque/undoable/"
               "attachment/attachment-file/"
               "pocket-hello/pocket-yard/pocket-machine"),
    (LOOK, WALK, "machine-hours/looked-for/gear/limits/walk-round/walk-round-at/go-on/photos"),
    (WALK, WALK, "add/bring-round/begin/save/finish/reopen/put-away/settle/send-photos/attachment-caption/attachment-remove/"
                 "undo/pocket-send/name-part/name-off"),
    (DESK, "", "api:docs/phone-waiting/book/book-entry/book-download/limits-table/parts-table/parts-blank/"
               "parts-out/parts-as-it-came/primer-slides/tables/table/own/mfa_index/mfa_list_webauthn/mfa_download_recovery_codes"),
    (DESK, DESK, "phone-code/phone-answer/phone-out/pocket-file/add-token/end-token/account_change_password/"
                 "account_reauthenticate/mfa_reauthenticate/mfa_activate_totp/mfa_deactivate_totp/mfa_view_recovery_codes/"
                 "mfa_generate_recovery_codes/mfa_add_webauthn/mfa_reauthenticate_webauthn/mfa_remove_webauthn/"
                 "mfa_edit_webauthn/usersessions_list/socialaccount_connections/account_email/digest"),
    (DESK, WHOLE, "parts-tables/book-limits"),
    (DESK, KEEP, "phones"),
    (MONEY, "", "machine-download/export-list/plan-paper/free-quote-paper/prices-file/blank-prices/work/work-csv"),
    (MONEY, CHANGE, "about/all-about/all-section/machine-file/worth/plan/free-quote"),
    (MONEY, WHOLE, "prices/price-class/price-times"),
    (CHANGE, CHANGE, "archive/archive-ticked/bring-limits/from-book/keep-outlook/keep-asking-price/work-done/take-work-out/"
                     "work-out/put-plan-away/plan-spots/keep-plan/free-quote-away/stand-at/buyer-links/buyer-link-back/"
                     "hours-leave-out/meter-changed/primer-learners/"
                     "shelf-new/shelf-item/shelf-away/shelf-bring/shelf-take"),
    (WHOLE, WHOLE, "bring/demo/machine-list/apply-list/blank-list/to-book/book-new/book-bring/book-change/"
                   "book-fit/book-away/book-undo/prices-again/parts-columns/parts-away/pocket-brought/pocket-decide/"
                   "pocket-photo/hours/hours-blank/hours-whose/hours-feed/hours-fetch/hours-off/"
                   "learning/learn/constants-use/constants-back/constants-bring/constants-file/constants-audit/"
                   "fleet-tables/fleet-tables-bring"),
    (KEEP, KEEP, "settings/feed-settings/phones-wake/people/invite/uninvite/person/person-out/person-password/add-depot/"
                 "remove-depot/hooks/hook-off/hook-try/hook-secret/hook-remove"),
)  # fmt: skip
"""What looking at an address asks, what sending it something asks (nothing: it takes nothing), and the addresses."""
ADDRESSES = {name: (look, send) for look, send, names in _TABLE for name in names.split("/")}
OPERATIONS = {
    name: right
    for right, names in (
        (LOOK, "yard/machines/machine/walk_rounds/walk_round/verdicts/verdict/blank_sheet/which_part/hours_of/bolt_torque/"
               "whose_gear/shelf/photos/table_rows/readable/jobs/job/job_pieces/send_many/"
               "paper_buyer_pdf/paper_workshop_pdf/paper_colleague_pdf/paper_advert_txt/paper_jobs_ics/paper_verdict_pdf/"
               "paper_work_order_pdf"),
        (WALK, "add_a_machine/begin_a_walk_round/save_lines/finish_a_walk_round/put_a_walk_round_away/settle_an_entry/judge_now/"
               "name_part_on_photo/take_name_off_photo/looked_for"),
        (MONEY, "machine_file/work_done/newest_verdict/plan/price_lists/price_list_in_force/price_list/price_list_content/"
                "quotes/free_quote/free_quote_paper/orders/paper_quote_pdf/paper_work_xlsx/paper_verdict_json"),
        (CHANGE, "change_a_machine/archive_a_machine/change_the_file/write_work_down/take_work_out/quote_freely/"
                 "put_a_quote_away/send_hours/bring_limits/count_on_shelf"),
        (WHOLE, "bring_a_machine/enter_a_price_list/send_machine_list/machine_list/apply_machine_list/what_is_learned/"
                "constants_file/fleet_tables"),
    )
    for name in names.split("/")
}  # fmt: skip
"""What each operation of the API asks, by its name."""
_SAFE = ("GET", "HEAD", "OPTIONS")


def asked_by_address(name: str, method: str) -> str | None:
    """The right an address asks; empty where it asks none, None where the table does not know it.

    Examples
    --------
    >>> asked_by_address("phones", "GET"), asked_by_address("phones", "POST"), asked_by_address("alive", "GET")
    ('desk', 'keep', '')
    """
    if name in OPEN:
        return ""
    look, send = ADDRESSES.get(name, (None, None))
    return look if method in _SAFE else send or look


FOR_PHONES = {name for name, (look, _) in ADDRESSES.items() if look in OF_A_PHONE}
"""What a phone reaches once it is in."""
