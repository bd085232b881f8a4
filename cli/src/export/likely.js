// How likely the truth lies outside the limits (JCGM 106:2012, clause 7), to more figures than the millionths that are stated.

// The probability that a standard normal value is above z; by its series (Abramowitz and Stegun, 26.2.11), and nothing beyond 8.
function normalTail(z) {
  if (z < 0) return 1 - normalTail(-z);
  if (z > 8) return 0;
  let [term, sum] = [z, z];
  for (let odd = 3; term > 1e-17 * sum; odd += 2) { term *= (z * z) / odd; sum += term; }
  return Math.max(0, 0.5 - (sum * Math.exp((-z * z) / 2)) / Math.sqrt(2 * Math.PI));
}

// The logarithm of the gamma function: Stirling's series above 10 (Abramowitz and Stegun, 6.1.41), and down from there.
function logGamma(x) {
  let shift = 0;
  let at = x;
  while (at < 10) { shift += Math.log(at); at += 1; }
  const square = at * at;
  return (at - 0.5) * Math.log(at) - at + 0.5 * Math.log(2 * Math.PI) + (1 / 12 - (1 / 360 - (1 / 1260 - 1 / (1680 * square)) / square) / square) / at - shift;
}

// The regularized incomplete beta function by its continued fraction (Abramowitz and Stegun, 26.5.8), evaluated from the front.
function betaRatio(x, a, b) {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  if (x > (a + 1) / (a + b + 2)) return 1 - betaRatio(1 - x, b, a);
  const least = 1e-300;
  const kept = (value) => (Math.abs(value) < least ? least : value);
  let [c, d] = [1, 1 / kept(1 - ((a + b) * x) / (a + 1))];
  let product = d;
  for (let m = 1; m < 10000; m += 1) {
    for (const factor of [(m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m)), (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1))]) {
      d = 1 / kept(1 + factor * d);
      c = kept(1 + factor / c);
      product *= c * d;
    }
    if (Math.abs(c * d - 1) < 1e-15) break;
  }
  return (Math.exp(a * Math.log(x) + b * Math.log(1 - x) + logGamma(a + b) - logGamma(a) - logGamma(b)) / a) * product;
}

// The probability that a t value of so many degrees of freedom is above t.
function studentTail(t, freedom) {
  if (freedom < 1) return NaN;
  if (freedom > 1e7) return normalTail(t);
  const beyond = 0.5 * betaRatio(freedom / (freedom + t * t), freedom / 2, 0.5);
  return t < 0 ? 1 - beyond : beyond;
}

// Below the lower limit and above the upper one, in whole millionths.
export function outside(best, standard, freedom, { lower, upper }) {
  const millionths = (under, over) => [under, over].map((part) => Math.min(1e6, Math.max(0, Math.round(part * 1e6))));
  if (standard === 0) { const over = upper !== undefined && best > upper; return millionths(!over && lower !== undefined && best < lower ? 1 : 0, over ? 1 : 0); }
  const tail = (distance) => (distance === Infinity ? 0 : freedom === undefined ? normalTail(distance) : studentTail(distance, freedom));
  const [above, below] = [lower === undefined ? Infinity : (best - lower) / standard, upper === undefined ? Infinity : (upper - best) / standard];
  const [under, over] = [tail(above), tail(below)];
  if (standard < 0 || Number.isNaN(under) || Number.isNaN(over)) return lower === undefined ? millionths(0, 1) : millionths(0.5, 0.5);
  return above + below < 0 ? millionths(under / (under + over), over / (under + over)) : millionths(under, over);
}

// Whether what a verdict states is that; another program's may differ in the last place.
export function isLikely(stated, best, standard, freedom, limits) {
  if (best === undefined || standard === undefined) return stated === undefined;
  const [under, over] = outside(best, standard, freedom, limits);
  return stated !== undefined && Math.abs(stated.under_millionths - under) <= 2 && Math.abs(stated.over_millionths - over) <= 2;
}
