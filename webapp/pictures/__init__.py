"""The picture of a day and its kin, as shapes and as SVG. Twins of static/js/pictures."""
