"""Addresses of walk-rounds."""

from django.urls import path

from pitchline.desk.walkround import views

urlpatterns = [
    path("machines/<uuid:machine_id>/begin/", views.begin, name="begin"),
    path("machines/<uuid:machine_id>/sheets/", views.bring_round, name="bring-round"),
    path("walk-rounds/<uuid:sheet_id>/", views.table, name="walk-round"),
    path("walk-rounds/<uuid:sheet_id>/on/", views.go_on, name="go-on"),
    path("walk-rounds/<uuid:sheet_id>/at/<path:key>/", views.at, name="walk-round-at"),
    path("walk-rounds/<uuid:sheet_id>/save/", views.save, name="save"),
    path("walk-rounds/<uuid:sheet_id>/finish/", views.finish, name="finish"),
    path("walk-rounds/<uuid:sheet_id>/reopen/", views.reopen, name="reopen"),
    path("walk-rounds/<uuid:sheet_id>/put-away/", views.put_away, name="put-away"),
    path("asides/<int:aside_id>/", views.settle, name="settle"),
]
