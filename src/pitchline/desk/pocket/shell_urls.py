"""Addresses of the app itself."""

from django.urls import path

from pitchline.desk.pocket import shell

urlpatterns = [
    path("pocket/", shell.page, name="pocket"),
    path("pocket/sw.js", shell.worker, name="pocket-worker"),
    path("pocket/manifest.webmanifest", shell.manifest, name="pocket-manifest"),
]
