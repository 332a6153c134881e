"""How far the answers move within the stated tolerances."""
