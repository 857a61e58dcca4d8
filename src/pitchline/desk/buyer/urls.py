"""Addresses of links for buyers, and what they open."""

from django.urls import path

from pitchline.desk.buyer import views

urlpatterns = [
    path("machines/<uuid:machine_id>/buyer/", views.links, name="buyer-links"),
    path("buyer-links/<uuid:link_id>/back/", views.back, name="buyer-link-back"),
    path("for-a-buyer/<str:secret>/", views.opened, name="for-a-buyer"),
    path("for-a-buyer/<str:secret>/paper.pdf", views.paper, name="for-a-buyer-paper"),
    path("for-a-buyer/<str:secret>/<uuid:attachment_id>.jpg", views.photo, name="for-a-buyer-photo"),
]
