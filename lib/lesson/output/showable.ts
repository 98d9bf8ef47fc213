/** Something that knows itself as HTML, such as a panel or a table. */
export interface Showable {
  readonly html: string;
}
