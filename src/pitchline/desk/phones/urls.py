"""Addresses of the phones' page, and of the door itself."""

from django.urls import path

from pitchline.desk.phones import views

urlpatterns = [
    path("phones/", views.phones, name="phones"),
    path("phones/code/", views.code, name="phone-code"),
    path("phones/waiting/", views.waiting, name="phone-waiting"),
    path("phones/wake/", views.wake, name="phones-wake"),
    path("phones/asking/<uuid:asking_id>/", views.answer, name="phone-answer"),
    path("phones/<uuid:phone_id>/out/", views.end, name="phone-out"),
    path("ask-in/", views.at_the_door, name="ask-in"),
]
