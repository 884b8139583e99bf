"""The pages: one folder per page, with its addresses, views, form and templates side by side.

A view asks a duty or reads a model and hands the answer to a template; it decides nothing about
temperatures and writes nothing itself. `frame` is what every page shows, `access` who may see one,
`server` how they are served to this computer and no other.
"""
