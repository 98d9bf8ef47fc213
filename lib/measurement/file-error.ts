/**
 * What is wrong with a file that someone brought from a hall, in one sentence: which file, which field, what to do.
 */
export class MeasurementFileError extends RangeError {
  /** Name of the file, as the user knows it. */
  readonly file: string;
  /** The field or place in the file, such as "fmt.channels" or "line 12, magnitude_db". */
  readonly field: string;

  /**
   * @param kind     what sort of file it is, such as "recording" or "trace"
   * @param file     its name
   * @param field    the field or place at fault
   * @param problem  what was found and what was expected, without a full stop
   * @param remedy   what the user can do about it, without a full stop
   */
  constructor(kind: string, file: string, field: string, problem: string, remedy: string) {
    super(`${kind} "${file}": ${field} ${problem}; ${remedy}`);
    this.name = "MeasurementFileError";
    this.file = file;
    this.field = field;
  }
}
