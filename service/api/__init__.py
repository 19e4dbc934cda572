"""The JSON interface: the batch contract over HTTP."""
