/** Node.js' `os`: how many threads may run, which share memory and so need a page that is isolated from others. */
const isIsolated = (globalThis as { readonly crossOriginIsolated?: boolean }).crossOriginIsolated === true;

export const availableParallelism = () => (isIsolated ? navigator.hardwareConcurrency : 1);
export const tmpdir = () => "/tmp";

export default { availableParallelism, tmpdir };
