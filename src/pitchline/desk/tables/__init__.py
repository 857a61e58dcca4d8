"""Tables of the whole yard for other programs, and what is needed when: flat rows, written whenever a machine is judged."""
