"""Addresses of the price list."""

from django.urls import path

from pitchline.desk.pricelist import views

urlpatterns = [
    path("prices/", views.prices, name="prices"),
    path("prices/class/", views.add_class, name="price-class"),
    path("prices/times/", views.times, name="price-times"),
    path("prices/<uuid:list_id>/again/", views.again, name="prices-again"),
    path("prices/blank.<str:ending>", views.blank, name="blank-prices"),
    path("prices/<uuid:list_id>/prices.<str:ending>", views.download, name="prices-file"),
]
