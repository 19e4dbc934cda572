"""From probabilities and readings to the posterior and the check to do next."""
