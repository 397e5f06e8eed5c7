"""The site: pages as pure functions of a view, hung in frames, published file by file.

Only ``plugin`` knows MkDocs; anything that renders one page could give the frame.
"""
