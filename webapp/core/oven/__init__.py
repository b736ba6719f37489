"""The last hour: dial, heat, slab, how long to bake."""
