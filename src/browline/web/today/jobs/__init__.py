"""Work under way: a job's progress, which goes on when the page is closed."""
