"""The articles, checks, lexicon and labelled complaints, as data files installed with the package."""
