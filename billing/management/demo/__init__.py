"""The demonstration: an invented shop does a whole job over HTTP."""
