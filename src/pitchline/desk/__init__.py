"""The desk: the yard in a browser, a Django site on the rooms below it."""
