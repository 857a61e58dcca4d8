"""Django's own chores for the desk, such as `python -m pitchline.desk makemigrations`."""

import os
import sys

from django.core.management import execute_from_command_line

from pitchline.desk.folders import data_folder, make_folder

if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "pitchline.desk.settings")
    make_folder(data_folder())
    execute_from_command_line(sys.argv)
