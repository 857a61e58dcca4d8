"""Addresses of work that was done."""

from django.urls import path

from pitchline.desk.workdone import views

urlpatterns = [
    path("<uuid:machine_id>/work/", views.work, name="work"),
    path("<uuid:machine_id>/work/done/", views.done, name="work-done"),
    path("<uuid:machine_id>/work/work.csv", views.work_csv, name="work-csv"),
    path("<uuid:machine_id>/work/take-out/", views.take_out, name="take-work-out"),
]
