"""The site for the artist's own phone: a server on the local network behind a token, with an inbox for runs."""
