"""What does a class need in its hands? Questions with answers, common errors with words to say, cards.

Each document's module gives LAYOUT, its shape, and default(), its first version:
`pocket_card` (and the poster), `questions`, `errors`, `pathway` (a questioned reading).
"""

from browline.materials.questions import matching

__all__ = ["matching"]
