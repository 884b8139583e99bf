"""The instruments' pages: the register and what is due, and rounds."""
