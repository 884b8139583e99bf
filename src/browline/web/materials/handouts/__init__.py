"""Hand-outs: cards, sheets, and the site and cover chooser."""
