"""The rooms behind the door of the desk: one module each."""
