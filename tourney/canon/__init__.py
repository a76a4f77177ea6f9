"""The syllabus: what may be called, in order, with sections, neighbours, other names and difficulty."""
