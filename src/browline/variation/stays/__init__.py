"""Each stay as one Gaussian: level, course, site, error; and the sums over stays that merge."""
