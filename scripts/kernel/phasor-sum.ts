/**
 * Source of the SIMD kernel behind lib/field/path-sum/phasor-sum.ts: WebAssembly text, put together from named pieces.
 *
 * The phase is counted in half turns h = k r/π; with n the nearest whole number and z = h − n in −½…½,
 * e^{-jπh} = (−1)^n (cos πz − j sin πz). Adding 1.5 · 2^52 to h leaves n in the low bits of the sum, so its last
 * bit is the sign. Sine and cosine are polynomials in z² with the first Chebyshev terms of sin(πz)/z and cos(πz).
 *
 * Frequencies go by blocks of eight, four registers of two, whose steps are interleaved so that no step waits for
 * the one before; within a block the sums stay in registers while all paths pass.
 *
 * Two frequencies take 42 floating-point operations. A core that starts four a cycle needs 10.5 cycles for them in
 * 128-bit registers without fused multiply-add, which is all that this WebAssembly has; 14 were measured (Zen 4,
 * 2.6 GHz, 107 ms for 40 million terms). Native code would halve that with 256-bit registers, and again nearly
 * with fused operations.
 */

/** Terms of each polynomial: 7 leave 5e-14 of sine and 8e-13 of cosine. */
const TERMS = 7;
/** Registers of two frequencies side by side. Tried: 1 to 5; 4 was the fastest, 1 took a third longer. */
const REGISTERS = [0, 1, 2, 3];
/** Frequencies in a block: the stride of a row of weights must be a multiple of it. */
export const BLOCK = 2 * REGISTERS.length;

/** Text of the module, which exports `sum`; its arguments are byte offsets into memory, after three counts. */
export function kernelText(): string {
  const sine = chebyshevPolynomial(
    (y) => (y === 0 ? Math.PI : Math.sin(Math.PI * Math.sqrt(y)) / Math.sqrt(y)),
    TERMS,
  );
  const cosine = chebyshevPolynomial((y) => Math.cos(Math.PI * Math.sqrt(y)), TERMS);
  const polynomials = sine
    .map((_, i) => TERMS - 1 - i)
    .map((i) =>
      each(
        (x) => `
        ${set(`S${x}`, i === TERMS - 1 ? constant(sine[i]) : add(mul(get(`S${x}`), get(`y${x}`)), constant(sine[i])))}
        ${set(`C${x}`, i === TERMS - 1 ? constant(cosine[i]) : add(mul(get(`C${x}`), get(`y${x}`)), constant(cosine[i])))}`,
      ),
    );
  return `
(module
  (memory (import "host" "memory") 1)
  (func (export "sum")
    (param $paths i32) (param $frequencies i32) (param $rowBytes i32)
    (param $k i32) (param $weightRe i32) (param $weightIm i32)
    (param $length i32) (param $scale i32) (param $row i32) (param $re i32) (param $im i32)
    (local $f i32) (local $p i32) (local $at i32) (local $r v128) (local $g v128)
    ${each((x) => ["k", "re", "im", "n", "z", "y", "S", "C", "g"].map((name) => `(local $${name}${x} v128)`).join(" "))}
    (loop $eachBlock
      ${each((x) => set(`k${x}`, load("k", "f", x)) + set(`re${x}`, load("re", "f", x)) + set(`im${x}`, load("im", "f", x)))}
      (local.set $p (i32.const 0))
      (loop $eachPath
        ${set("r", splat("length"))}
        ${set("g", splat("scale"))}
        ;; where this path's weights begin
        (local.set $at (i32.add (local.get $f)
          (i32.mul (i32.load (i32.add (local.get $row) (i32.shl (local.get $p) (i32.const 2)))) (local.get $rowBytes))))
        ;; rest z of the phase, and the scale with the sign of the half turn
        ${each(
          (x) => `
        ${set(`z${x}`, mul(get(`k${x}`), get("r")))}
        ${set(`n${x}`, add(get(`z${x}`), MAGIC))}
        ${set(`z${x}`, sub(get(`z${x}`), sub(get(`n${x}`), MAGIC)))}
        ${set(`y${x}`, mul(get(`z${x}`), get(`z${x}`)))}
        ${set(`g${x}`, `(v128.xor (local.get $g) (i64x2.shl (local.get $n${x}) (i32.const 63)))`)}`,
        )}
        ${polynomials.join("")}
        ;; cosine and sine times scale, times the complex weight (n, z: its parts)
        ${each(
          (x) => `
        ${set(`C${x}`, mul(get(`g${x}`), get(`C${x}`)))}
        ${set(`S${x}`, mul(mul(get(`g${x}`), get(`z${x}`)), get(`S${x}`)))}
        ${set(`n${x}`, load("weightRe", "at", x))}
        ${set(`z${x}`, load("weightIm", "at", x))}
        ${set(`re${x}`, add(get(`re${x}`), add(mul(get(`n${x}`), get(`C${x}`)), mul(get(`z${x}`), get(`S${x}`)))))}
        ${set(`im${x}`, add(get(`im${x}`), sub(mul(get(`z${x}`), get(`C${x}`)), mul(get(`n${x}`), get(`S${x}`)))))}`,
        )}
        (br_if $eachPath (i32.lt_u (local.tee $p (i32.add (local.get $p) (i32.const 1))) (local.get $paths))))
      ${each((x) => store("re", "f", x, get(`re${x}`)) + store("im", "f", x, get(`im${x}`)))}
      (br_if $eachBlock (i32.lt_u (local.tee $f (i32.add (local.get $f) (i32.const ${BLOCK * 8})))
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

function each(text: (register: number) => string): string {
  return REGISTERS.map(text).join("");
}

function get(name: string): string {
  return `(local.get $${name})`;
}

function set(name: string, value: string): string {
  return `(local.set $${name} ${value})`;
}

/** Both lanes from the path's entry in an array of doubles. */
function splat(array: string): string {
  return `(v128.load64_splat (i32.add (local.get $${array}) (i32.shl (local.get $p) (i32.const 3))))`;
}

function load(array: string, at: string, register: number): string {
  return `(v128.load offset=${16 * register} (i32.add (local.get $${array}) (local.get $${at})))`;
}

function store(array: string, at: string, register: number, value: string): string {
  return `(v128.store offset=${16 * register} (i32.add (local.get $${array}) (local.get $${at})) ${value})`;
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
