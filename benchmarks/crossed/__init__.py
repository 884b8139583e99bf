"""What benchmarks/variation.py is made of: readings, peers, our fits, and sizes measured in processes of their own."""
