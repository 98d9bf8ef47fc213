/** The compiler's view of a system: the kernel's files. */
import type { Files } from "./files";

/**
 * @param files  where it reads
 * @param folder  where cells run
 * @param compiler  the compiler's own file, beside which the language's declarations lie
 */
export const compilerSystem = (files: Files, folder: string, compiler: string) => ({
  args: [],
  newLine: "\n",
  useCaseSensitiveFileNames: true,
  write: () => {},
  exit: () => {},
  getExecutingFilePath: () => compiler,
  getCurrentDirectory: () => folder,
  resolvePath: (path: string) => path,
  fileExists: (path: string) => files.isFile(path),
  directoryExists: (path: string) => files.isFolder(path.replace(/(?<=.)\/$/, "")),
  readFile: (path: string) => (files.isFile(path) ? files.text(path) : undefined),
  writeFile: () => {},
  createDirectory: () => {},
  getDirectories: (path: string) =>
    files.isFolder(path) ? files.list(path).filter((name) => files.isFolder(`${path}/${name}`)) : [],
  readDirectory: () => [],
  watchFile: () => ({ close() {} }),
  watchDirectory: () => ({ close() {} }),
  getEnvironmentVariable: () => "",
});
