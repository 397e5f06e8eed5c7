"""The documents of a book: what each kind may say, field by field. Knows nothing of files or of git."""

import os

# Nobody's plugin changes how documents are read, and looking for some takes as long as reading twenty.
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
