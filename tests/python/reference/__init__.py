"""Slow, plain computations of what the library computes, written from its definition alone.

Nothing here is shared with the library: other formulas, other methods (an ODE integrator, 50-digit
arithmetic, sampling, stepping), so that an error must be made twice to stay unseen.
"""
