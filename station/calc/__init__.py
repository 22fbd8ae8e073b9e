"""What a bar reckons: amounts to grams, blends, balance, batches, cautions."""
