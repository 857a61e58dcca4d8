"""Chores of the desk from a shell."""
