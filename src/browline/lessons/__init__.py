"""What does a class need in its hands? Questions with answers, common errors with words to say, cards."""
