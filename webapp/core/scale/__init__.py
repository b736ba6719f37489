"""From percent to grams: pans, the weigh-out list, small amounts of yeast, what to do when too much went in."""
