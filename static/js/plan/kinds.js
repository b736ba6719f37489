// Closed sets that scripts ask about, each once. Twin of webapp/core/kinds.py, by the same names (tests/core/test_kinds.py).

export const MIXING_KINDS = ["preferment", "mix"];
export const BAKE_KINDS = ["turn-down", "check", "turn", "lift"];
export const OVEN_KINDS = ["load", ...BAKE_KINDS];
export const RESTING_PLACES = ["bench", "fridge", "warm"];
export const ASIDE_PLACES = ["warm", "fridge"];
export const SEEN_KINDS = ["glass", "look", "poke"];
