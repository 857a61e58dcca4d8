"""Addresses of what is learned from the yard, and of its fleet tables."""

from django.urls import path

from pitchline.desk.learning import views

urlpatterns = [
    path("learning/", views.learning, name="learning"),
    path("learning/learn/", views.learn, name="learn"),
    path("learning/bring/", views.bring, name="constants-bring"),
    path("learning/take-back/", views.take_back, name="constants-back"),
    path("learning/tables.<str:ending>.zip", views.fleet_tables, name="fleet-tables"),
    path("learning/tables/", views.bring_fleet_tables, name="fleet-tables-bring"),
    path("learning/<uuid:constants_id>/use/", views.use, name="constants-use"),
    path("learning/<uuid:constants_id>/constants.json", views.constants_file, name="constants-file"),
    path("learning/<uuid:constants_id>/audit-<int:width>.svg", views.audit_drawing, name="constants-audit"),
]
