"""Call sets and speakers: balanced, free of clues, equal in difficulty, and the same again for the same words."""
