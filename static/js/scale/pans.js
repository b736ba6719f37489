// The floor of a pan in cm2, by what is measured of it in cm. Twin of webapp/core/scale/pans.py.

const PI = 3.141592653589793;

export const rectangleCm2 = (length_cm, width_cm) => length_cm * width_cm;

export const roundCm2 = (diameter_cm) => (PI * diameter_cm * diameter_cm) / 4;

export const ovalCm2 = (length_cm, width_cm) => (PI * length_cm * width_cm) / 4;
