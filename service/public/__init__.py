"""The rider's pages: no log-in, no JavaScript, all state in the address."""
