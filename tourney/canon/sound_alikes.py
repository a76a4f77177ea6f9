"""Items that are easily taken for each other when called out in a noisy hall (common practice, no source).

Groups of item ids; add one for a list of your own. They are kept three calls and more apart.
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
