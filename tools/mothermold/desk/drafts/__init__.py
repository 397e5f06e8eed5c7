"""What is asked for each kind of document, and what is written from the answers."""
