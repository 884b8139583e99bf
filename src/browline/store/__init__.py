"""Where things are kept: records in one database, readings as immutable Parquet files beside it.

A noun has one home here (`models`). Readings are never changed: an import writes one file and one
transaction that names it; corrections and undone repairs are rows of their own. Nothing here decides
anything about temperatures; that is what the rooms are for.
"""
