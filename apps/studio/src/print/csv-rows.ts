/** Rows of a CSV file (RFC 4180): fields in quotes may hold commas, quotes and line ends. */
export function csvRows(text: string): readonly (readonly string[])[] {
  const rows: string[][] = [];
  let row: string[] = [];
  let field = '';
  let isQuoted = false;
  const endRow = () => {
    rows.push([...row, field]);
    row = [];
    field = '';
  };
  for (let i = 0; i < text.length; i++) {
    const sign = text[i]!;
    if (isQuoted) {
      if (sign !== '"') field += sign;
      else if (text[i + 1] === '"') {
        field += '"';
        i++;
      } else isQuoted = false;
    } else if (sign === '"') isQuoted = true;
    else if (sign === ',') {
      row.push(field);
      field = '';
    } else if (sign === '\n') endRow();
    else if (sign !== '\r') field += sign;
  }
  if (field !== '' || row.length > 0) endRow();
  return rows;
}

/** The tables of a file that parts them by empty lines. */
export function csvTables(text: string): readonly (readonly (readonly string[])[])[] {
  const tables: (readonly string[])[][] = [[]];
  for (const row of csvRows(text))
    if (row.every((field) => field === '')) tables.push([]);
    else tables.at(-1)!.push(row);
  return tables.filter((table) => table.length > 0);
}
