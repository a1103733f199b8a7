/** One line of the table: what was measured, and what it must reach or stay under. */
export interface BarRow {
  readonly what: string;
  readonly measured: number;
  readonly most?: number;
  readonly least?: number;
}

export function holds({ measured, most = Infinity, least = -Infinity }: BarRow): boolean {
  return measured <= most && measured >= least;
}
