import fc from "fast-check";
import { expect, test } from "vitest";
import { cholesky, solveCholesky } from "../../lib/numeric/cholesky";
import "../seed";

test("the factor of a published example", () => {
  // Cholesky decomposition, a worked example of many textbooks (from memory): 4 12 −16, 12 37 −43, −16 −43 98 -> 2; 6 1; −8 5 3.
  const lower = cholesky(Float64Array.of(4, 12, -16, 12, 37, -43, -16, -43, 98), 3);
  expect([...lower]).toEqual([2, 0, 0, 6, 1, 0, -8, 5, 3]);
});

test("what was solved, multiplied by the matrix, is what was given", () => {
  const size = fc.integer({ min: 1, max: 7 });
  const numbers = (n: number) =>
    fc.array(fc.double({ min: -3, max: 3, noNaN: true }), { minLength: n, maxLength: n });
  fc.assert(
    fc.property(
      size.chain((n) => fc.tuple(fc.constant(n), numbers(n * n), numbers(n))),
      ([n, root, b]) => {
        const matrix = Float64Array.from({ length: n * n }, (_, k) => {
          const [i, j] = [Math.floor(k / n), k % n];
          let sum = i === j ? 1 : 0;
          for (let l = 0; l < n; l++) sum += root[i * n + l] * root[j * n + l];
          return sum;
        });
        const x = solveCholesky(cholesky(matrix, n), n, Float64Array.from(b));
        for (let i = 0; i < n; i++) {
          let sum = 0;
          for (let j = 0; j < n; j++) sum += matrix[i * n + j] * x[j];
          expect(sum).toBeCloseTo(b[i], 7);
        }
      },
    ),
  );
});

test("a matrix that is not positive definite is refused", () => {
  expect(() => cholesky(Float64Array.of(1, 2, 2, 1), 2)).toThrow(/positive definite/);
});
