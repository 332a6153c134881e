"""Distortion: the second and the third harmonic of a weakly nonlinear circuit."""
