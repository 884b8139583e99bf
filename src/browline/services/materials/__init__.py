"""What is handed out: controlled documents, cards, posters and sheets."""
