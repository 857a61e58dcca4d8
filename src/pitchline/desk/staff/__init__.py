"""The people of a yard: who works here as what, invitations, one's own sign-in and tokens, tries to sign in."""
