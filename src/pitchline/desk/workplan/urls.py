"""Addresses of the work plan and of the calendar feed."""

from django.urls import path

from pitchline.desk.workplan import views

urlpatterns = [
    path("machines/<uuid:machine_id>/plan/", views.plan, name="plan"),
    path("machines/<uuid:machine_id>/plan/work-out/", views.work_out, name="work-out"),
    path("machines/<uuid:machine_id>/plan/put-away/", views.put_away, name="put-plan-away"),
    path("machines/<uuid:machine_id>/plan/<uuid:plan_id>/spots/", views.spots, name="plan-spots"),
    path("machines/<uuid:machine_id>/plan/<uuid:plan_id>/keep/", views.keep, name="keep-plan"),
    path("machines/<uuid:machine_id>/plan/<uuid:plan_id>/papers/<str:name>", views.paper, name="plan-paper"),
    path("calendar/<str:secret>.ics", views.feed, name="feed"),
    path("calendar/machines/<uuid:machine_id>/<str:mark>.ics", views.machine_feed, name="machine-feed"),
]
