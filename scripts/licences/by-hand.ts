/** Licences that a package's own description does not name in a word, read in the file that lies in the package. */

export const byHand: Record<string, string> = {
  "npm typed-function": "MIT",
  "PyPI jupyterhub-idle-culler": "BSD-3-Clause",
};
