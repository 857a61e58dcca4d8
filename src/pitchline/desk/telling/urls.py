"""Addresses of digests and hooks."""

from django.urls import path

from pitchline.desk.telling import views

urlpatterns = [
    path("own/letters/", views.digest, name="digest"),
    path("letters/end/<str:secret>/", views.digest_end, name="digest-end"),
    path("hooks/", views.hooks, name="hooks"),
    path("hooks/<uuid:hook_id>/off/", views.hook_off, name="hook-off"),
    path("hooks/<uuid:hook_id>/try/", views.hook_try, name="hook-try"),
    path("hooks/<uuid:hook_id>/secret/", views.hook_secret, name="hook-secret"),
    path("hooks/<uuid:hook_id>/remove/", views.hook_remove, name="hook-remove"),
]
