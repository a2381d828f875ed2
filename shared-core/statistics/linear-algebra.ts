/**
 * Solves A·x = b by Gaussian elimination with partial pivoting. `matrix` is n × n, row by row; both inputs are
 * overwritten. Null when A is singular to working precision.
 */
export function solveInPlace(matrix: Float64Array, right: Float64Array): Float64Array | null {
  const n = right.length;
  for (let column = 0; column < n; column++) {
    let pivot = column;
    for (let row = column + 1; row < n; row++) {
      if (Math.abs(matrix[row * n + column]!) > Math.abs(matrix[pivot * n + column]!)) pivot = row;
    }
    const size = matrix[pivot * n + column]!;
    if (size === 0 || !Number.isFinite(size)) return null;
    if (pivot !== column) {
      for (let k = column; k < n; k++) {
        const kept = matrix[column * n + k]!;
        matrix[column * n + k] = matrix[pivot * n + k]!;
        matrix[pivot * n + k] = kept;
      }
      const kept = right[column]!;
      right[column] = right[pivot]!;
      right[pivot] = kept;
    }
    for (let row = column + 1; row < n; row++) {
      const factor = matrix[row * n + column]! / matrix[column * n + column]!;
      if (factor === 0) continue;
      for (let k = column; k < n; k++) {
        matrix[row * n + k] = matrix[row * n + k]! - factor * matrix[column * n + k]!;
      }
      right[row] = right[row]! - factor * right[column]!;
    }
  }
  for (let row = n - 1; row >= 0; row--) {
    let sum = right[row]!;
    for (let k = row + 1; k < n; k++) sum -= matrix[row * n + k]! * right[k]!;
    right[row] = sum / matrix[row * n + row]!;
  }
  return right;
}

/**
 * Inverse of a symmetric positive definite n × n matrix (row by row) by Cholesky's method.
 * Null when it is not positive definite to working precision: `relativeFloor` of the diagonal must remain.
 */
export function inverseOfPositiveDefinite(
  matrix: Float64Array,
  n: number,
  relativeFloor = 1e-12,
): Float64Array | null {
  const lower = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i * n + j]!;
      for (let k = 0; k < j; k++) sum -= lower[i * n + k]! * lower[j * n + k]!;
      if (i === j) {
        if (!(sum > relativeFloor * matrix[i * n + i]!)) return null;
        lower[i * n + i] = Math.sqrt(sum);
      } else {
        lower[i * n + j] = sum / lower[j * n + j]!;
      }
    }
  }
  const inverse = new Float64Array(n * n);
  const column = new Float64Array(n);
  for (let c = 0; c < n; c++) {
    for (let i = 0; i < n; i++) {
      let sum = i === c ? 1 : 0;
      for (let k = 0; k < i; k++) sum -= lower[i * n + k]! * column[k]!;
      column[i] = sum / lower[i * n + i]!;
    }
    for (let i = n - 1; i >= 0; i--) {
      let sum = column[i]!;
      for (let k = i + 1; k < n; k++) sum -= lower[k * n + i]! * column[k]!;
      column[i] = sum / lower[i * n + i]!;
      inverse[i * n + c] = column[i]!;
    }
  }
  return inverse;
}
