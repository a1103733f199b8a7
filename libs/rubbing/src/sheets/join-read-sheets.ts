/** The sheets of one rubbing as one: found on one another, laid together, reported sheet by sheet. */
import type { FlattenReport } from '#libs/net';
import type { Plane } from '#libs/raster';
import type { ReadSheet } from '../read-sheet.js';
import type { RubbingSheet } from '../sheet.js';
import { joinSheets } from './join-sheets.js';
import { joinedReport } from './joined-report.js';
import { baseSheet, type PlacedSheet, placeSheets } from './place-sheets.js';
import { STILL } from './rigid.js';

export interface OneSheet {
  readonly density: Plane;
  readonly grey: Uint8Array;
  readonly pxPerMm: number;
  readonly originMm: readonly [number, number];
  /** The sheet whose frame this is. */
  readonly base: number;
  readonly placed: readonly PlacedSheet[];
  readonly flatten: FlattenReport;
}

/** @throws RubbingError when the sheets do not fit together */
export function joinReadSheets(
  sheets: readonly RubbingSheet[],
  read: readonly ReadSheet[],
): OneSheet {
  if (read.length === 1) {
    const { flat, density, flattening } = read[0]!;
    return {
      density,
      grey: flat.data,
      pxPerMm: flat.pxPerMm,
      originMm: flat.originMm,
      base: 0,
      placed: [{ place: STILL, join: null }],
      flatten: flattening.report,
    };
  }
  const toPlace = read.map(({ flat, density }, i) => ({
    wax: {
      density,
      pxPerMm: flat.pxPerMm,
      originMm: flat.originMm,
      ...(flat.seen === undefined ? {} : { seen: flat.seen }),
    },
    isMeasuredFrame: sheets[i]!.control.kind === 'control_points',
  }));
  const placed = placeSheets(toPlace);
  const base = baseSheet(toPlace);
  const joined = joinSheets(
    toPlace.map(({ wax }, i) => ({ wax, grey: read[i]!.flat.data, place: placed[i]!.place })),
    base,
  );
  return {
    ...joined,
    base,
    placed,
    flatten: joinedReport(
      read.map(({ flattening }, i) => ({ flatten: flattening.report, join: placed[i]!.join })),
      base,
    ),
  };
}
