"""Pages of what is handed out: documents, cards and sheets, questions from a class."""
