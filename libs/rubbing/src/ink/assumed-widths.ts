/** What a tracing or light wax means for the drawing, said in words and in the spread of the widths. */
import type { FlattenReport } from '#libs/net';
import type { DrawnLeads } from '../draw-leads.js';
import type { ReadSheet } from '../read-sheet.js';

/** A width that was assumed may be off by as much as faces in use differ (common practice, no source). */
const ASSUMED_SPREAD_MM = 2;

/** Leads traced along their middles carry the assumed width with a spread that leaves their class open. */
export function withAssumedWidths(drawn: DrawnLeads, read: readonly ReadSheet[]): DrawnLeads {
  const assumed = read.find(({ tracing }) => tracing?.lines === 'middles')?.tracing?.assumedWidthMm;
  if (assumed === undefined || assumed === null) return drawn;
  return {
    ...drawn,
    sketch: {
      ...drawn.sketch,
      leads: drawn.sketch.leads.map((lead) => ({
        ...lead,
        faceWidthMm: assumed,
        widthSpreadMm: ASSUMED_SPREAD_MM,
      })),
    },
  };
}

export function withInkNotes(report: FlattenReport, read: readonly ReadSheet[]): FlattenReport {
  const of = (i: number): string => (read.length === 1 ? 'The sheet' : `Sheet ${i + 1}`);
  const added = read.flatMap(({ tone, tracing }, i) => {
    const notes: string[] = [];
    if (tone === 'light-on-dark') notes.push(`${of(i)} shows light wax on dark paper.`);
    if (tracing?.lines === 'edges') {
      notes.push(
        `${of(i)} is a tracing of both edges of the cames: face widths are those between the traced lines.`,
      );
    }
    if (tracing?.lines === 'middles') {
      notes.push(
        `${of(i)} is a tracing along the middles of the leads: face widths were not seen, ${tracing.assumedWidthMm} mm is assumed everywhere. Measure them before came is ordered.`,
      );
    }
    return notes;
  });
  return added.length === 0 ? report : { ...report, notes: [...(report.notes ?? []), ...added] };
}
