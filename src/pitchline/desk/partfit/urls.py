"""Addresses of which part fits, and of the yard's tables of parts."""

from django.urls import path

from pitchline.desk.partfit import views

urlpatterns = [
    path("parts/", views.which, name="which-part"),
    path("parts/bolts/", views.bolts, name="bolt-torque"),
    path("parts/tables/", views.tables, name="parts-tables"),
    path("parts/tables/blank.csv", views.blank, name="parts-blank"),
    path("parts/tables/<uuid:table_id>/", views.table, name="parts-table"),
    path("parts/tables/<uuid:table_id>/columns/", views.columns, name="parts-columns"),
    path("parts/tables/<uuid:table_id>/away/", views.away, name="parts-away"),
    path("parts/tables/<uuid:table_id>/parts.csv", views.out, name="parts-out"),
    path("parts/tables/<uuid:table_id>/as-it-came.csv", views.as_it_came, name="parts-as-it-came"),
]
