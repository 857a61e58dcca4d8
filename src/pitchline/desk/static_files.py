"""Hashed static files, modules included.

Django's rewriting of module imports misses an import without a closing semicolon and stops at a comment that names a missing
file; `tests/desk/test_static.py` holds every module of ours to what it can rewrite. An import map would have to stand inline,
which the content policy forbids.
"""

from whitenoise.storage import CompressedManifestStaticFilesStorage


class HashedFiles(CompressedManifestStaticFilesStorage):  # type: ignore[misc]  # whitenoise carries no types
    """Every file under a name that changes with its content, so that a browser may keep it for ever."""

    support_js_module_import_aggregation = True
