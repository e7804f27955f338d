"""From go / no-go answers to a bracket, a verdict and the next blade to try."""
