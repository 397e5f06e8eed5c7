"""One module a question: a view and options in, one result out. Renderers make text, JSON or pages of it."""
