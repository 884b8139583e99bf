"""Did training work? Readings charted after their person's sign-off against those of people not yet signed off.

    y = months + theta trained + instrument + person + ward + ward-month + trained (person's, ward's own) + stay

`exposure` says who was signed off when; `terms` and `fixed_columns` make the columns; `level` estimates theta;
`permutation` asks the order of the roll-out; `verdict` gives one of four answers.
"""
