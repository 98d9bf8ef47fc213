/**
 * Text from a venue or a file name as it may stand in HTML, in content and in attributes.
 *
 * @param text  any text
 * @returns the same text to a reader, never markup
 */
export const escapeHtml = (text: string): string => text.replace(/[&<>"']/g, (c) => `&#${c.charCodeAt(0)};`);
