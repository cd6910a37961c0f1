"""The questions on which someone's safety hangs, each asked in one place by pages, cards, labels, notices and findings.

Pure functions of inputs and results, which import no calculation. What is not known is never safe.
"""
