"""The documents of a book: what each kind may say, field by field. Knows nothing of files or of git."""
