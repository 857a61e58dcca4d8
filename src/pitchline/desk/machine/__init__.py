"""One machine: what is known of it, its verdict, its parts and papers."""
