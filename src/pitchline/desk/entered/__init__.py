"""All that is said of a machine, section by section: what stands, what each section unlocks, and a form for each."""
