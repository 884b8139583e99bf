"""Carrying an import out: text columns in, one Parquet file and one transaction out.

    block of text columns --dictionaries--> staged rows --duplicates--> taken | already here | set aside

The thinking (what a text means) is the pure room `intake`, asked once for every *distinct* text; its answers
are small dictionary tables joined to the million rows. Patients and stays are pseudonyms before the first
byte is written.
"""
