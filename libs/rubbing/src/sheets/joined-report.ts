import type { FlattenReport } from '#libs/net';
import type { SheetJoin } from './place-sheets.js';

/** What one picture gave: for a person who asks which of them to take again. */
export interface SheetReport {
  readonly flatten: FlattenReport;
  /** Null for the sheet that the others were brought to. */
  readonly join: SheetJoin | null;
}

/** One report over all sheets: marks carry their sheet's number, and a sentence says how each was joined. */
export function joinedReport(sheets: readonly SheetReport[], base: number): FlattenReport {
  const marks = sheets.flatMap(({ flatten }, i) =>
    flatten.marks.map((mark) => ({ ...mark, name: `${i + 1}·${mark.name}` })),
  );
  const square = marks.reduce((s, m) => s + m.residualMm ** 2, 0);
  const worst = marks.reduce<(typeof marks)[number] | undefined>(
    (w, m) => (m.residualMm > (w?.residualMm ?? 0) ? m : w),
    undefined,
  );
  const first = sheets[base]!.flatten;
  const distances = sheets.flatMap(({ flatten }, i) =>
    (flatten.distances ?? []).map((d) => ({
      ...d,
      from: `${i + 1}·${d.from}`,
      to: `${i + 1}·${d.to}`,
    })),
  );
  const notes = sheets.flatMap((sheet, i) => [
    ...(sheet.flatten.notes ?? []).map((note) => `Sheet ${i + 1}: ${note}`),
    joinSentence(sheet, i),
  ]);
  return {
    marks,
    rmsMm: marks.length === 0 ? 0 : Math.sqrt(square / marks.length),
    lens: first.lens,
    worstMark: worst?.name ?? null,
    ...(first.control === undefined ? {} : { control: first.control }),
    ...(distances.length === 0 ? {} : { distances }),
    ...(first.scale === undefined ? {} : { scale: first.scale }),
    ...(first.lensDoubt === undefined ? {} : { lensDoubt: first.lensDoubt }),
    notes,
  };
}

function joinSentence({ join }: SheetReport, i: number): string {
  if (join === null) return `Sheet ${i + 1} gives the frame of the drawing.`;
  const overlap = `${(join.overlapMm2 / 100).toFixed(0)} cm² in common`;
  if (join.by === 'marks') {
    return `Sheet ${i + 1} lies by its marks alone: its wax could not be compared with sheet ${join.toSheet} (${overlap}).`;
  }
  return `Sheet ${i + 1} was laid on sheet ${join.toSheet} by the wax of both (${overlap}, agreement ${join.correlation.toFixed(2)}): ${join.patches} places differ by ${join.medianMm.toFixed(2)} mm in the middle, ${join.worstMm.toFixed(2)} mm at most.`;
}
