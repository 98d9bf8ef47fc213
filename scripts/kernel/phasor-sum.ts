/**
 * Source of the SIMD kernel behind lib/field/phasor-sum.ts: WebAssembly text, put together from named pieces.
 *
 * Two frequencies at a time. The phase is counted in half turns h = k r/π; with n the nearest whole number and
 * z = h − n in −½…½, e^{-jπh} = (−1)^n (cos πz − j sin πz). Adding 1.5 · 2^52 to h leaves n in the low bits of the sum, so its last bit
 * is the sign. Sine and cosine are polynomials in z², from the first Chebyshev terms of sin(πz)/z and cos(πz).
 */

/** Terms of each polynomial: 7 leave 5e-14 of sine and 8e-13 of cosine. */
const SINE_TERMS = 7;
const COSINE_TERMS = 7;

/** Text of the module: exports `memory` and `sum`; all arguments are byte offsets, but the counts. */
export function kernelText(): string {
  const sine = chebyshevPolynomial(
    (y) => (y === 0 ? Math.PI : Math.sin(Math.PI * Math.sqrt(y)) / Math.sqrt(y)),
    SINE_TERMS,
  );
  const cosine = chebyshevPolynomial((y) => Math.cos(Math.PI * Math.sqrt(y)), COSINE_TERMS);
  return `
(module
  (memory (import "host" "memory") 1)
  (func (export "sum")
    (param $paths i32) (param $frequencies i32) (param $rowBytes i32)
    (param $k i32) (param $weightRe i32) (param $weightIm i32)
    (param $length i32) (param $scale i32) (param $row i32) (param $re i32) (param $im i32)
    (local $f i32) (local $p i32) (local $at i32)
    (local $kf v128) (local $sumRe v128) (local $sumIm v128) (local $h v128) (local $n v128)
    (local $z v128) (local $y v128) (local $g v128) (local $c v128) (local $s v128) (local $a v128) (local $b v128)
    (loop $eachPair
      (local.set $kf ${load("(i32.add (local.get $k) (local.get $f))")})
      (local.set $sumRe ${load("(i32.add (local.get $re) (local.get $f))")})
      (local.set $sumIm ${load("(i32.add (local.get $im) (local.get $f))")})
      (local.set $p (i32.const 0))
      (loop $eachPath
        (local.set $h ${mul(get("kf"), splat("length"))})
        (local.set $n ${add(get("h"), MAGIC)})
        (local.set $z ${sub(get("h"), sub(get("n"), MAGIC))})
        (local.set $y ${mul(get("z"), get("z"))})
        ;; scale, with the sign of the half turn
        (local.set $g (v128.xor ${splat("scale")} (i64x2.shl (local.get $n) (i32.const 63))))
        (local.set $c ${mul(get("g"), horner("y", cosine))})
        (local.set $s ${mul(mul(get("g"), get("z")), horner("y", sine))})
        (local.set $at (i32.add (local.get $f)
          (i32.mul (i32.load (i32.add (local.get $row) (i32.shl (local.get $p) (i32.const 2)))) (local.get $rowBytes))))
        (local.set $a ${load("(i32.add (local.get $weightRe) (local.get $at))")})
        (local.set $b ${load("(i32.add (local.get $weightIm) (local.get $at))")})
        (local.set $sumRe ${add(get("sumRe"), add(mul(get("a"), get("c")), mul(get("b"), get("s"))))})
        (local.set $sumIm ${add(get("sumIm"), sub(mul(get("b"), get("c")), mul(get("a"), get("s"))))})
        (br_if $eachPath (i32.lt_u (local.tee $p (i32.add (local.get $p) (i32.const 1))) (local.get $paths))))
      (v128.store (i32.add (local.get $re) (local.get $f)) (local.get $sumRe))
      (v128.store (i32.add (local.get $im) (local.get $f)) (local.get $sumIm))
      (br_if $eachPair (i32.lt_u (local.tee $f (i32.add (local.get $f) (i32.const 16)))
        (i32.shl (local.get $frequencies) (i32.const 3)))))))
`;
}

/** Polynomial in y on 0…¼ from the first Chebyshev terms of a function, lowest power first. */
export function chebyshevPolynomial(value: (y: number) => number, terms: number): number[] {
  const nodes = 64;
  // y = (1 + t)/8 maps −1…1 to 0…¼, so t = 8y − 1 and T_n(t) follows from T_{n+1} = 2 t T_n − T_{n−1}.
  const coefficient = (n: number): number => {
    let sum = 0;
    for (let i = 0; i < nodes; i++) {
      const angle = (Math.PI * (i + 0.5)) / nodes;
      sum += value((1 + Math.cos(angle)) / 8) * Math.cos(n * angle);
    }
    return ((n === 0 ? 1 : 2) * sum) / nodes;
  };
  let previous = new Array<number>(terms).fill(0);
  let current = previous.slice();
  current[0] = 1;
  const result = new Array<number>(terms).fill(0);
  for (let n = 0; n < terms; n++) {
    const c = coefficient(n);
    for (let i = 0; i < terms; i++) result[i] += c * current[i];
    const factor = n === 0 ? 1 : 2;
    const next = current.map(
      (_, i) => factor * (8 * (current[i - 1] ?? 0) - current[i]) - (n === 0 ? 0 : previous[i]),
    );
    previous = current;
    current = next;
  }
  return result;
}

const MAGIC = constant(1.5 * 2 ** 52);

function get(name: string): string {
  return `(local.get $${name})`;
}

/** Both lanes from the path's entry in an array of doubles. */
function splat(array: string): string {
  return `(v128.load64_splat (i32.add (local.get $${array}) (i32.shl (local.get $p) (i32.const 3))))`;
}

function load(address: string): string {
  return `(v128.load ${address})`;
}

function constant(x: number): string {
  return `(v128.const f64x2 ${x} ${x})`;
}

function add(a: string, b: string): string {
  return `(f64x2.add ${a} ${b})`;
}

function sub(a: string, b: string): string {
  return `(f64x2.sub ${a} ${b})`;
}

function mul(a: string, b: string): string {
  return `(f64x2.mul ${a} ${b})`;
}

function horner(variable: string, coefficients: readonly number[]): string {
  return coefficients
    .slice(0, -1)
    .reduceRight(
      (sum, c) => add(mul(sum, get(variable)), constant(c)),
      constant(coefficients[coefficients.length - 1]),
    );
}
