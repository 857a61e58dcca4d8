"""Addresses of signing in, out and of one's own sign-in: the views of the library, at addresses and in pages of ours."""

from allauth.account import views as account
from allauth.mfa.base import views as mfa
from allauth.mfa.recovery_codes import views as recovery
from allauth.mfa.totp import views as totp
from allauth.mfa.webauthn import views as passkey
from allauth.usersessions import views as sessions
from django.apps import apps
from django.contrib.auth.decorators import login_not_required
from django.urls import URLPattern, path, re_path

_ENTRANCE = [
    ("sign-in/", account.login, "account_login"),
    ("sign-out/", account.logout, "account_logout"),
    ("sign-in/put-out/", account.account_inactive, "account_inactive"),
    ("sign-in/second/", mfa.authenticate, "mfa_authenticate"),
    ("sign-in/passkey/", passkey.login_webauthn, "mfa_login_webauthn"),
    ("sign-in/forgotten/", account.password_reset, "account_reset_password"),
    ("sign-in/forgotten/sent/", account.password_reset_done, "account_reset_password_done"),
    ("sign-in/forgotten/done/", account.password_reset_from_key_done, "account_reset_password_from_key_done"),
    ("sign-in/none/", account.signup, "account_signup"),
]
_OWN = [
    ("own/password/", account.password_change, "account_change_password"),
    ("own/mail/", account.email, "account_email"),
    ("own/once-more/", account.reauthenticate, "account_reauthenticate"),
    ("own/second/", mfa.index, "mfa_index"),
    ("own/second/once-more/", mfa.reauthenticate, "mfa_reauthenticate"),
    ("own/second/codes/", totp.activate_totp, "mfa_activate_totp"),
    ("own/second/codes/off/", totp.deactivate_totp, "mfa_deactivate_totp"),
    ("own/second/spare/", recovery.view_recovery_codes, "mfa_view_recovery_codes"),
    ("own/second/spare/new/", recovery.generate_recovery_codes, "mfa_generate_recovery_codes"),
    ("own/second/spare/codes.txt", recovery.download_recovery_codes, "mfa_download_recovery_codes"),
    ("own/second/passkeys/", passkey.list_webauthn, "mfa_list_webauthn"),
    ("own/second/passkeys/add/", passkey.add_webauthn, "mfa_add_webauthn"),
    ("own/second/passkeys/once-more/", passkey.reauthenticate_webauthn, "mfa_reauthenticate_webauthn"),
    ("own/second/passkeys/<int:pk>/remove/", passkey.remove_webauthn, "mfa_remove_webauthn"),
    ("own/second/passkeys/<int:pk>/name/", passkey.edit_webauthn, "mfa_edit_webauthn"),
    ("own/sessions/", sessions.list_usersessions, "usersessions_list"),
]
urlpatterns: list[URLPattern] = [
    path("sign-in/", login_not_required(account.login), name="sign-in"),
    path("sign-out/", login_not_required(account.logout), name="sign-out"),
    *(path(route, login_not_required(view), name=name) for route, view, name in _ENTRANCE),
    re_path(
        r"^sign-in/forgotten/(?P<uidb36>[0-9A-Za-z]+)-(?P<key>.+)/$",
        login_not_required(account.password_reset_from_key),
        name="account_reset_password_from_key",
    ),
    re_path(
        r"^own/mail/(?P<key>[-:\w]{1,200})/$",
        login_not_required(account.confirm_email),
        name="account_confirm_email",
    ),
    *(path(route, view, name=name) for route, view, name in _OWN),
]
if apps.is_installed("allauth.socialaccount"):
    from allauth.socialaccount import views as company
    from allauth.socialaccount.providers.openid_connect import views as openid

    urlpatterns += [
        path("sign-in/by/<str:provider_id>/", login_not_required(openid.login), name="openid_connect_login"),
        path(
            "sign-in/by/<str:provider_id>/back/",
            login_not_required(openid.callback),
            name="openid_connect_callback",
        ),
        path(
            "sign-in/company/cancelled/",
            login_not_required(company.login_cancelled),
            name="socialaccount_login_cancelled",
        ),
        path("sign-in/company/error/", login_not_required(company.login_error), name="socialaccount_login_error"),
        path("sign-in/company/new/", login_not_required(company.signup), name="socialaccount_signup"),
        path("own/company/", company.connections, name="socialaccount_connections"),
    ]
