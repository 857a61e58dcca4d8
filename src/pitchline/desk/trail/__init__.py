"""The audit trail: every change with who, when, from, to and why."""
