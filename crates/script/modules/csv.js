// Tables of comma-separated values, as spreadsheets read them.

/**
 * A text in a cell. Spreadsheets take some texts for formulas: an apostrophe keeps them from that. What has a
 * comma, a quotation mark or the end of a line in it is quoted.
 * @param {string | number} value
 */
export function csvCell(value) {
  if (typeof value === "number") return String(value);
  const text = /^[\s]*[=+\-@\t\r＝＋－＠]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

/**
 * A table: its first row names the columns.
 * @param {(string | number)[][]} rows
 */
export function csvTable(rows) {
  return rows.map((row) => `${row.map(csvCell).join(",")}\r\n`).join("");
}
