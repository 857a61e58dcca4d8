"""Every address of the desk by its name, and how it is asked."""

OPEN = {
    "sign-in", "sign-out", "alive", "ready", "metrics", "icon", "feed", "machine-feed", "ask-in",
    "pocket", "pocket-worker", "pocket-manifest",
    "welcome", "account_login", "account_logout", "account_inactive", "account_signup", "mfa_authenticate", "mfa_login_webauthn",
    "account_reset_password", "account_reset_password_done", "account_reset_password_from_key",
    "account_reset_password_from_key_done", "for-a-buyer", "for-a-buyer-paper", "for-a-buyer-photo",
    "openid_connect_login", "openid_connect_callback", "socialaccount_login_cancelled", "socialaccount_login_error",
    "socialaccount_signup",
    "pocket-script", "pocket-sheet",
}  # fmt: skip
YARD = {
    "yard": "get", "add": "get", "bring": "get", "prices": "get", "demo": "post", "archive-ticked": "post", "undoable": "get",
    "export-list": "get", "blank-list": "get", "settings": "get", "feed-settings": "post",
    "book": "get", "book-new": "get", "book-bring": "post", "book-learned": "post",
    "price-class": "get", "blank-prices": "get",
    "sheet-code": "get",
    "primer": "get", "primer-part": "get", "primer-seen": "get", "primer-lesson": "get", "primer-practice": "get",
    "tables": "get", "table": "get",
    "hours": "get", "hours-blank": "get", "hours-whose": "post",
    "primer-piece": "get", "primer-learners": "get", "primer-slides": "get",
    "which-part": "get", "bolt-torque": "get", "parts-tables": "get", "parts-blank": "get",
    "phones": "get", "phone-code": "post", "phone-waiting": "get", "phones-wake": "post",
    "pocket-hello": "get", "pocket-yard": "get", "pocket-send": "post", "pocket-brought": "get", "pocket-file": "post",
    "people": "get", "invite": "post", "add-depot": "post", "own": "get", "add-token": "post",
    "account_change_password": "get", "account_reauthenticate": "get", "mfa_index": "get", "mfa_reauthenticate": "get",
    "mfa_activate_totp": "get", "mfa_deactivate_totp": "get", "mfa_view_recovery_codes": "get",
    "mfa_generate_recovery_codes": "get", "mfa_download_recovery_codes": "get", "mfa_list_webauthn": "get",
    "mfa_add_webauthn": "get", "mfa_reauthenticate_webauthn": "get", "mfa_remove_webauthn": "get", "mfa_edit_webauthn": "get",
    "usersessions_list": "get", "socialaccount_connections": "get",
}  # fmt: skip
BOOK = {
    "book-entry": "get", "book-change": "get", "book-limits": "get", "book-fit": "get", "book-away": "post",
    "book-download": "get", "book-undo": "get",
    "price-times": "get", "prices-again": "post", "prices-file": "get",
}  # fmt: skip
MACHINE = {
    "machine": "get", "all-about": "get", "all-section": "get", "about": "get", "gear": "get", "gear-drawn": "get",
    "limits": "get", "machine-file": "get", "machine-download": "get",
    "blank-sheet": "get", "bring-round": "post", "archive": "post", "looked-for": "get",
    "changes": "get", "paper": "get", "part": "get",
    "begin": "post", "ground-fit": "get",
    "photos": "get", "send-photos": "post", "attachment": "get", "attachment-file": "get", "attachment-caption": "post",
    "attachment-remove": "post", "name-part": "post", "name-off": "post",
    "machine-list": "get", "apply-list": "post", "undo": "post",
    "outlook": "get", "keep-outlook": "post", "worth": "get", "keep-asking-price": "post",
    "work": "get", "work-done": "get", "work-csv": "get", "take-work-out": "post",
    "plan": "get", "work-out": "post", "put-plan-away": "post",
    "plan-spots": "get", "keep-plan": "post", "plan-paper": "get",
    "free-quote": "get", "free-quote-paper": "get", "free-quote-away": "post",
    "machine-hours": "get", "hours-leave-out": "post", "meter-changed": "post",
    "hours-feed": "get", "hours-fetch": "post", "hours-off": "post",
    "parts-table": "get", "parts-columns": "get", "parts-out": "get", "parts-as-it-came": "get", "parts-away": "post",
    "printed-sheet": "get", "phone-answer": "post", "phone-out": "post",
    "pocket-machine": "get", "pocket-decide": "post", "pocket-photo": "get",
    "uninvite": "post", "person": "post", "person-out": "post", "person-password": "post", "remove-depot": "post",
    "end-token": "post", "stand-at": "post", "buyer-links": "get", "buyer-link-back": "post",
    "from-book": "get", "to-book": "post", "bring-limits": "post", "limits-table": "get",
}  # fmt: skip
SHEET = {
    "walk-round": "get", "walk-round-at": "get", "save": "post", "finish": "post", "put-away": "post", "settle": "post",
    "reopen": "post", "go-on": "get",
}  # fmt: skip
