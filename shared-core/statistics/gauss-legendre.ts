/** Nodes and weights of n-point Gauss–Legendre quadrature on [from, to]. Abramowitz & Stegun 25.4.29–30. */
export function gaussLegendre(
  n: number,
  from: number,
  to: number,
): { readonly nodes: Float64Array; readonly weights: Float64Array } {
  const nodes = new Float64Array(n);
  const weights = new Float64Array(n);
  const middle = (from + to) / 2;
  const half = (to - from) / 2;
  for (let i = 0; i < (n + 1) >> 1; i++) {
    let x = Math.cos((Math.PI * (i + 0.75)) / (n + 0.5));
    let slope = 1;
    for (let iteration = 0; iteration < 100; iteration++) {
      let p = 1;
      let before = 0;
      for (let j = 1; j <= n; j++) {
        const next = ((2 * j - 1) * x * p - (j - 1) * before) / j;
        before = p;
        p = next;
      }
      slope = (n * (x * p - before)) / (x * x - 1);
      const step = p / slope;
      x -= step;
      if (Math.abs(step) < 1e-15) break;
    }
    const weight = (2 * half) / ((1 - x * x) * slope * slope);
    nodes[i] = middle - half * x;
    nodes[n - 1 - i] = middle + half * x;
    weights[i] = weight;
    weights[n - 1 - i] = weight;
  }
  return { nodes, weights };
}
