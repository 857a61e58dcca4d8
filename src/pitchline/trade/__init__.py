"""The trade's words as types: machine, running gear, part, side, measurand, reading, finding, job. SI inside."""
