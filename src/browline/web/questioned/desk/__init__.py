"""A questioned reading at the desk: what is typed is answered on the same page and kept nowhere."""
