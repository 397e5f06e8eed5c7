"""The site for the artist's own phone: a server in the local network behind a token, with an inbox for runs."""
