"""Charted readings to findings: the audit and the model carried out, stored, answered and followed up."""
