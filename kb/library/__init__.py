"""What we know: articles, checks, the lexicon and labelled complaints, read strictly and checked by rules."""
