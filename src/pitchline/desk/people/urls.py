"""Addresses of signing in and out, of being alive, and of the icon a browser asks for by itself."""

from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import LogoutView
from django.urls import path

from pitchline.desk.people import views

urlpatterns = [
    path("sign-in/", views.sign_in, name="sign-in"),
    path("sign-out/", login_not_required(LogoutView.as_view()), name="sign-out"),
    path("alive", views.alive, name="alive"),
    path("favicon.ico", views.icon, name="icon"),
]
