// ln, exp and the square root by + - * / alone. Twin of webapp/core/now/ln_exp.py: change both or neither.
//
// Twin rules: lists, comparison, + - * / and truncation only; same names and order in both languages. Why things are
// as they are is said in the Python twin.

const LN_2 = 0.6931471805599453;
const LEAST = 1e-12;
const MOST_EXP = 60;

export function ln(x) {
  let rest = x > LEAST ? x : LEAST;
  let twos = 0;
  while (rest > 1.5) {
    rest = rest / 2;
    twos += 1;
  }
  while (rest < 0.75) {
    rest = rest * 2;
    twos -= 1;
  }
  const z = (rest - 1) / (rest + 1);
  const square = z * z;
  let power = z;
  let total = z;
  for (let i = 1; i < 9; i += 1) {
    power = power * square;
    total = total + power / (2 * i + 1);
  }
  return twos * LN_2 + 2 * total;
}

export function exp(x) {
  let rest = x;
  if (rest > MOST_EXP) {
    rest = MOST_EXP;
  }
  if (rest < -MOST_EXP) {
    rest = -MOST_EXP;
  }
  let twos = 0;
  while (rest > 0.35) {
    rest = rest - LN_2;
    twos += 1;
  }
  while (rest < -0.35) {
    rest = rest + LN_2;
    twos -= 1;
  }
  let term = 1;
  let total = 1;
  for (let i = 1; i < 13; i += 1) {
    term = (term * rest) / i;
    total = total + term;
  }
  for (let i = 0; i < twos; i += 1) {
    total = total * 2;
  }
  for (let i = 0; i < -twos; i += 1) {
    total = total / 2;
  }
  return total;
}

export function root(x) {
  if (x <= 0) {
    return 0;
  }
  const guess = exp(ln(x) / 2);
  return (guess + x / guess) / 2;
}
