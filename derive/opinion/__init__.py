"""Answers found a second time, by means that share nothing with the kernel.

Enters: inquiries and the numbers of their symbols. Leaves: values and verdicts.
Must not know: the kernel, the diagram, LaTeX. Importing this package imports neither numpy nor lcapy.
"""
