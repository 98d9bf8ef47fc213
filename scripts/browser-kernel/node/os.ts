/** Node.js' `os`: one thread, for in a browser one that is started while a cell runs begins only when the cell has ended. */
export const availableParallelism = () => 1;
export const tmpdir = () => "/tmp";

export default { availableParallelism, tmpdir };
