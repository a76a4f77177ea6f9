"""The nouns, immutable: event, people, calls, plan, sheet, standing; and their form as documents."""
