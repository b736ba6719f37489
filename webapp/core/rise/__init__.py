"""Time, temperature and yeast: how fast a dough rises, how sure that is, how warm it is."""
