"""Did training work: the verdict of the last review, with what it rests on."""
