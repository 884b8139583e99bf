"""What a roll-out could detect, before it begins."""
