"""What this app joins when the desk starts: it hears of every judgement, plan in force, price list and migration."""

from django.apps import apps
from django.db.models.signals import post_migrate, pre_migrate

from pitchline.desk.machine.judging import judged
from pitchline.desk.prices import listed
from pitchline.desk.tables.sql_views import after_migrating, before_migrating
from pitchline.desk.tables.writing import write_lay_ups, write_prices, write_rows
from pitchline.desk.workplan.actions import in_force

judged.connect(write_rows)
in_force.connect(write_lay_ups)
listed.connect(write_prices)
pre_migrate.connect(before_migrating, sender=apps.get_app_config("tables"))
post_migrate.connect(after_migrating, sender=apps.get_app_config("tables"))
