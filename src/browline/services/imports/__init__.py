"""Files into the book: how a heading is read, the import, its receipts, what was set aside, taking one back."""
