"""Printed matter: sheets of the book as PDF, out of data that an edition shows; knows no server and no site builder."""
