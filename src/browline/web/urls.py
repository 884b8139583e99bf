"""Every address of the pages, one line each."""

urlpatterns: list = []
