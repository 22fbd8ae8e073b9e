"""Drink specs finished with weighed food acids: drops to grams, batches by weight, acid and sugar in balance."""
