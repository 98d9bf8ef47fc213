/** Licences under which a package may be used here: each lets anyone run the course, and asks for a notice at most. */

const known = [
  /^(the )?MIT( License)?(-0|-CMU)?$/i,
  /^(New |Modified |3-Clause |2-Clause )?\(?BSD[- ]?([023]|[23]-Clause)?( License)?\)?( \((Revised|New)\))?$/i,
  /^BSD[ -](2|3)[ -]Clause.*$/i,
  /^0BSD$/i,
  /^ISC( License \(ISCL\)|L)?$/i,
  /^Apache([- ](Software )?(License)?,? ?(Version )?2(\.0)?)?( License| Software License)?$/i,
  /^(PSF|PSF-2\.0|Python-2\.0|Python Software Foundation License|CNRI-Python)$/i,
  /^(CC0-1\.0|CC-BY-[34]\.0|Unlicense|The Unlicense \(Unlicense\)|Public Domain|BlueOak-1\.0\.0|WTFPL|Zlib|HPND|OFL-1\.1)$/i,
  // These ask that changes to the package's own files be handed on; none is changed here.
  /^(MPL-2\.0|Mozilla Public License 2\.0 \(MPL 2\.0\))$/i,
];

/**
 * @param licence  an SPDX expression, or a registry's words
 * @returns whether one choice of an OR, and every part of an AND, is known
 */
export const isKnown = (licence: string): boolean =>
  bare(licence)
    .split(/ OR | or /)
    .some((choice) =>
      bare(choice)
        .split(/ AND | and |; /)
        .every((one) => known.some((pattern) => pattern.test(bare(one)))),
    );

/** Without brackets around the whole, which SPDX allows. */
const bare = (text: string) => text.trim().replace(/^\(([^()]*)\)$/, "$1");
