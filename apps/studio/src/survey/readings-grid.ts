/** Readings taken on an even grid over a panel, typed cell by cell. */

export interface ReadingsGrid {
  readonly columns: number;
  readonly rows: number;
  /** row by row as typed; empty: not read */
  readonly texts: readonly string[];
}

export function emptyGrid(columns: number, rows: number): ReadingsGrid {
  return { columns, rows, texts: new Array<string>(columns * rows).fill('') };
}

/** Keeps what was typed where it still has a place. */
export function resized(grid: ReadingsGrid, columns: number, rows: number): ReadingsGrid {
  const texts = Array.from({ length: columns * rows }, (_, i) => {
    const [column, row] = [i % columns, Math.floor(i / columns)];
    return column < grid.columns && row < grid.rows
      ? (grid.texts[row * grid.columns + column] ?? '')
      : '';
  });
  return { columns, rows, texts };
}

/** Places of the cells in the panel's frame, edges included, mm. */
export function placeOf(
  { columns, rows }: Pick<ReadingsGrid, 'columns' | 'rows'>,
  cell: number,
  size: { readonly widthMm: number; readonly heightMm: number },
): readonly [number, number] {
  const [column, row] = [cell % columns, Math.floor(cell / columns)];
  return [(column * size.widthMm) / (columns - 1), (row * size.heightMm) / (rows - 1)];
}

/** Those that were typed, and how many are no numbers. */
export function readingsIn(
  grid: ReadingsGrid,
  size: { readonly widthMm: number; readonly heightMm: number },
  read: (text: string) => number | undefined,
): { readings: [number, number, number][]; unread: number } {
  const readings: [number, number, number][] = [];
  let unread = 0;
  for (const [cell, text] of grid.texts.entries()) {
    if (text.trim() === '') continue;
    const value = read(text);
    if (value === undefined) unread += 1;
    else readings.push([...placeOf(grid, cell, size), value]);
  }
  return { readings, unread };
}
