"""Walk-rounds: sheets filled in beside the machine, saved on every change."""
