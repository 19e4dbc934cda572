"""From a text to a probability for every cause: TF-IDF over fields, learnt weights, calibration."""
