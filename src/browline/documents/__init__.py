"""What the services answer, as frozen documents: every door renders one of these and none lays out its own.

    encoding      a document as plain data and as JSON; a number that is not finite is refused
    review        the review as its contract writes it, with its supplement
    recheck       answers to questioned readings
    coverage      who can do it, for those who see names and for those who do not
    instruments   the instruments as they stand today
    plan          the session plan, people by their number
    supplement    what pages and paper need beside the contract; `model` and `audit` are its two largest parts

Fields stand in the order in which JSON writes them. Fields that an earlier version did not write have a default,
and fields that this version does not know are passed over: a stored document opens whichever version wrote it.
"""
