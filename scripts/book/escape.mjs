// @ts-check
/** @type {Record<string, string>} */
const entities = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;" };

/** @param {string} text */
export const escapeHtml = (text) => text.replace(/[&<>"]/g, (letter) => entities[letter]);
