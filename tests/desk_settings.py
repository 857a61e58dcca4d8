"""The desk's own settings, on a data folder that goes away with the tests."""

import os
import tempfile
from pathlib import Path

from pitchline.desk.folders import FOLDER_ENV, make_folder

_KEPT = tempfile.TemporaryDirectory(prefix="pitchline-tests-")
os.environ[FOLDER_ENV] = _KEPT.name
os.environ["PITCHLINE_DESK_LOGIN"] = "1"  # so that the libraries for it are there; a test that wants it says so
os.environ["PITCHLINE_OIDC_ADDRESS"] = "https://company.example/.well-known/openid-configuration"
os.environ |= {
    "PITCHLINE_OIDC_NAME": "Example Hire",
    "PITCHLINE_OIDC_CLIENT": "desk",
    "PITCHLINE_OIDC_SECRET": "not one",
}
os.environ["PITCHLINE_TODAY"] = "2026-11-26"  # no test goes by the clock
make_folder(Path(_KEPT.name))
(Path(_KEPT.name) / "static").mkdir()

from pitchline.desk.settings import *  # noqa: E402, F403  after the folder is named
from pitchline.desk.settings import DATABASES, WITHOUT_SIGN_IN  # noqa: E402

for _name in [each for each in os.environ if each.startswith(("PITCHLINE_DESK_LOGIN", "PITCHLINE_OIDC_"))]:
    del os.environ[_name]
LOGIN = False
MIDDLEWARE = [*WITHOUT_SIGN_IN, "allauth.account.middleware.AccountMiddleware"]  # the library will not be without
SILENCED_SYSTEM_CHECKS = ["axes.W002", "axes.W003"]

DATABASES["default"]["CONN_MAX_AGE"] = 0  # a test's threads go, and their connections with them

if DATABASES["default"]["ENGINE"].endswith(
    "sqlite3"
):  # a file, as in use: in memory, threads would share one connection
    DATABASES["default"]["TEST"] = {"NAME": str(Path(_KEPT.name) / "test.sqlite3")}
