"""The words of the closed sets of core/kinds.py, each written once: pages, paper and the phone's bundle ask here.

Each function is total over its set, so that mypy names the one that a new kind still lacks. A sentence made for one
kind (an offer, a caution) stands where it is said.
"""
