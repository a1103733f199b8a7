/** The schedule as files: CSV for a spreadsheet, JSON for other programs. */
import { csvLine } from '#libs/csv';
import type { Net, XyMm } from '../net.js';
import { netSchedule, type ScheduleOptions } from './net-schedule.js';

/** Figures to a hundredth of a millimetre or gram; same net, same bytes. */
export function scheduleJson(net: Net, options: ScheduleOptions = {}): string {
  const rounded = (_: string, value: unknown) =>
    typeof value === 'number' ? Math.round(value * 1000) / 1000 : value;
  return `${JSON.stringify(netSchedule(net, options), rounded, 2)}\n`;
}

/**
 * Came, pieces and, when a length of stick was given, what is cut from each; then what was taken
 * for granted. CSV (RFC 4180: comma, quotes, CRLF); a blank line between tables. Profiles that
 * nobody has gauged say so.
 */
export function scheduleCsv(net: Net, options: ScheduleOptions = {}): string {
  const schedule = netSchedule(net, options);
  const { came, joints, pieces, grams } = schedule;
  const withSticks = options.stickMm !== undefined;
  const rows: (string | number)[][] = [
    [
      'kind',
      'width class mm',
      'profile',
      'width known by',
      'came runs',
      'segments',
      'longest run mm',
      'length m',
      `length with ${Math.round(schedule.wasteRatio * 100)} % waste m`,
      ...(withSticks ? [`sticks of ${metres(options.stickMm)} m`] : []),
    ],
    ...came.map((need) => [
      need.kind,
      need.widthClassMm.toFixed(1),
      need.gauged?.profile.name ?? need.profile ?? 'not measured',
      need.gauged === null
        ? 'the lead drawing'
        : `gauge, ${need.gauged.on}: face ${need.gauged.profile.faceMm.toFixed(1)} mm`,
      need.runs,
      need.segments,
      Math.round(need.longestMm),
      metres(need.lengthMm),
      metres(need.grossMm),
      ...(need.sticks === null ? [] : [need.sticks.count]),
    ]),
    [],
    ['soldered joints', joints.soldered],
    ['solder g, estimate', Math.round(grams.solder)],
    ['glass kg', kilograms(grams.glass)],
    ['lead kg', kilograms(grams.lead)],
    ['glass, lead and solder kg', kilograms(grams.total)],
    [],
    [
      'piece',
      'cut width mm',
      'cut height mm',
      'sight width mm',
      'sight height mm',
      'sight area cm2',
      'cut area cm2',
      'area to centre lines cm2',
      'glass mm',
      'weight g',
      'leads',
    ],
    ...pieces.map((piece) => [
      piece.pieceId,
      ...size(piece.cutSizeMm),
      ...size(piece.sightSizeMm),
      (piece.sightAreaMm2 / 100).toFixed(1),
      (piece.cutAreaMm2 / 100).toFixed(1),
      (piece.areaMm2 / 100).toFixed(1),
      piece.layersMm.join(' + '),
      piece.grams.toFixed(1),
      piece.leads,
    ]),
    ...(withSticks ? stickRows(schedule.came) : []),
    [],
    ...[...schedule.drawing, ...schedule.assumptions].map((line) => [line]),
    ...schedule.foil.map(({ widthClassMm, foilP, leadIds }) => [
      `${leadIds.length} leads of ${widthClassMm.toFixed(1)} mm may be copper foil (${Math.round(foilP * 100)} %): set their kind in the drawing.`,
    ]),
  ];
  return rows.map(csvLine).join('');
}

function stickRows(came: ReturnType<typeof netSchedule>['came']): (string | number)[][] {
  return [
    [],
    ['kind', 'width class mm', 'profile', 'stick', 'cut from it: run and mm', 'left mm'],
    ...came.flatMap(({ kind, widthClassMm, profile, sticks }) =>
      (sticks?.sticks ?? []).map(({ cuts, leftMm }, i) => [
        kind,
        widthClassMm.toFixed(1),
        profile ?? 'not measured',
        i + 1,
        cuts
          .map(
            ({ runId, lengthMm }) =>
              `${runId} ${Math.ceil(lengthMm)}${sticks!.joined.includes(runId) ? ' (part of a longer run: butt joint)' : ''}`,
          )
          .join('; '),
        Math.floor(leftMm),
      ]),
    ),
  ];
}

function metres(mm: number | undefined): string {
  return ((mm ?? 0) / 1000).toFixed(3);
}

function kilograms(grams: number): string {
  return (grams / 1000).toFixed(2);
}

function size(sizeMm: XyMm | null): string[] {
  return sizeMm === null ? ['', ''] : sizeMm.map((mm) => mm.toFixed(1));
}
