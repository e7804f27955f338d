"""From a bracket to the turn of a screw or the size of a shim."""
