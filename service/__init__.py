"""The web side of Truestand: pages for riders and the JSON interface, all answers coming from `kb`."""
