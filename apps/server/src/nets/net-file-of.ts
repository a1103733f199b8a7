import {
  type GaugedWidth,
  type Net,
  netDxf,
  netGeoJson,
  netSvg,
  patternDxf,
  patternSvg,
  type ScheduleOptions,
  scheduleCsv,
  scheduleJson,
} from '#libs/net';
import { netPdf, PAPER_MM, patternPdf } from '#libs/print';
import type { NetFileName, NetFileQuery } from './net-files.routes.js';

/** What a drawing is made into, as it was asked for. */
export async function netFileOf(
  net: Net,
  file: Exclude<NetFileName, 'net.json' | 'rectified.jpg'>,
  {
    gauged = [],
    ...of
  }: {
    readonly mark: string;
    readonly revision: number;
    readonly gauged?: readonly GaugedWidth[] | undefined;
  },
  query: NetFileQuery,
): Promise<string | Buffer> {
  const { paper, overlapMm } = query;
  const mirrored = query.mirrored === 'true';
  const inPlace = query.inPlace === 'true';
  const drawn = { title: `${of.mark}, revision ${of.revision}`, mirrored };
  const printed = { ...of, paper, mirrored, ...(overlapMm === undefined ? {} : { overlapMm }) };
  const laid = inPlace ? drawn : { ...drawn, sheetMm: PAPER_MM[paper] };
  switch (file) {
    case 'net.svg':
      return netSvg(net, drawn);
    case 'net.dxf':
      return netDxf(net, drawn);
    case 'net.geojson':
      return netGeoJson(net, drawn);
    case 'net.pdf':
      return Buffer.from(
        await netPdf(net, {
          ...printed,
          bothSides: query.bothSides === 'true',
          numbers: query.numbers === 'true',
        }),
      );
    case 'pattern.pdf':
      return Buffer.from(await patternPdf(net, { ...printed, inPlace }));
    case 'pattern.svg':
      return patternSvg(net, laid);
    case 'pattern.dxf':
      return patternDxf(net, laid);
    case 'schedule.csv':
      return scheduleCsv(net, { ...scheduleOptions(query), gauged });
    case 'schedule.json':
      return scheduleJson(net, { ...scheduleOptions(query), gauged });
  }
}

function scheduleOptions({ stickMm, wasteRatio, thicknessMm }: NetFileQuery): ScheduleOptions {
  return {
    ...(stickMm === undefined ? {} : { stickMm }),
    ...(wasteRatio === undefined ? {} : { wasteRatio }),
    ...(thicknessMm === undefined ? {} : { glass: { layersMm: [thicknessMm] } }),
  };
}
