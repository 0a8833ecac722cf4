/**
 * Dense linear systems of a few dozen unknowns, solved thousands of times over: Gaussian elimination with
 * partial pivoting in place (Golub & Van Loan, "Matrix Computations", 4th ed., algorithm 3.4.1).
 */
export interface Factored {
  /** Overwrites `right` with the solution. */
  solve(right: Float64Array): void;
}

/**
 * Factors an n × n matrix, row-major, which it overwrites. Undefined where the matrix is singular to
 * working precision: a pivot under n·ε times the greatest entry of the matrix.
 */
export function factored(matrix: Float64Array, n: number): Factored | undefined {
  let greatest = 0;
  for (let k = 0; k < n * n; k++) greatest = Math.max(greatest, Math.abs(matrix[k]!));
  const order = new Int32Array(n);
  for (let k = 0; k < n; k++) {
    let pivot = k;
    for (let i = k + 1; i < n; i++) if (Math.abs(matrix[i * n + k]!) > Math.abs(matrix[pivot * n + k]!)) pivot = i;
    if (!(Math.abs(matrix[pivot * n + k]!) > n * Number.EPSILON * greatest)) return undefined;
    order[k] = pivot;
    if (pivot !== k)
      for (let j = 0; j < n; j++) {
        const held = matrix[k * n + j]!;
        matrix[k * n + j] = matrix[pivot * n + j]!;
        matrix[pivot * n + j] = held;
      }
    const inverse = 1 / matrix[k * n + k]!;
    const end = (k + 1) * n;
    for (let i = k + 1; i < n; i++) {
      let at = i * n + k;
      const factor = matrix[at]! * inverse;
      matrix[at] = factor;
      if (factor === 0) continue;
      for (let pivotAt = k * n + k + 1; pivotAt < end; pivotAt++) {
        at++;
        matrix[at] = matrix[at]! - factor * matrix[pivotAt]!;
      }
    }
  }
  return {
    solve: (right) => {
      for (let k = 0; k < n; k++) {
        const pivot = order[k]!;
        const held = right[k]!;
        right[k] = right[pivot]!;
        right[pivot] = held;
      }
      for (let i = 1; i < n; i++) {
        let sum = right[i]!;
        for (let j = 0; j < i; j++) sum -= matrix[i * n + j]! * right[j]!;
        right[i] = sum;
      }
      for (let i = n - 1; i >= 0; i--) {
        let sum = right[i]!;
        for (let j = i + 1; j < n; j++) sum -= matrix[i * n + j]! * right[j]!;
        right[i] = sum / matrix[i * n + i]!;
      }
    },
  };
}
