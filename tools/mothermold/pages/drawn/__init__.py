"""Pictures made of lines and letters: where everything of them stands is reckoned here, with no browser to ask."""
