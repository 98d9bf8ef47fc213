/** An element of the page with its text, which is never read as HTML, and its properties. */
export function element<Name extends keyof HTMLElementTagNameMap>(
  name: Name,
  text = "",
  properties: Partial<HTMLElementTagNameMap[Name]> = {},
): HTMLElementTagNameMap[Name] {
  const made = Object.assign(document.createElement(name), properties);
  if (text) made.textContent = text;
  return made;
}
