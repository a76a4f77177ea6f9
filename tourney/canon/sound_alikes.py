"""Items that are easily taken for each other when called out in a noisy hall (common practice, no source).

Groups of item ids, kept more than three calls apart. An event folder may hold a table of its own instead.
"""

SOUND_ALIKES: tuple[tuple[str, ...], ...] = (
    ("EPH", "PHP", "PHM"),
    ("JOB", "JOL"),
    ("MIC", "MAL"),
    ("HAB", "HAG"),
    ("JDG", "JUD"),
    ("1TI", "2TI", "TIT"),
    ("EZR", "EZK"),
    ("HOS", "JOS"),
    ("NAM", "NEH"),
    ("JON", "JHN"),
    ("JHN", "1JN", "2JN", "3JN"),
    ("1SA", "2SA"),
    ("1KI", "2KI"),
    ("1CH", "2CH"),
    ("1CO", "2CO"),
    ("1TH", "2TH"),
    ("1PE", "2PE"),
)
