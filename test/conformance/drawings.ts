/**
 * The files of a lead drawing, read by programs that are not ours: DXF by ezdxf, SVG by librsvg, PDF by PDFium, net
 * JSON against its published schema by jsonschema, features by shapely.
 */
import { spawnSync } from 'node:child_process';
import { copyFileSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import {
  boundsMm,
  buildNet,
  curveLengthMm,
  DXF_LAYERS,
  DXF_LEAD_LAYERS,
  type Net,
  netCurves,
  netDxf,
  netGeoJson,
  netJson,
  netJsonSchema,
  netSvg,
  polylineLengthMm,
} from '#libs/net';
import { netPdf, type PaperName } from '#libs/print';
import { STYLES, type Style } from '../bench/generator/designs/index.js';
import { panelNet } from '../bench/generator/panel-net.js';
import { randomStream } from '../bench/generator/random-stream.js';
import { check } from './check.js';

const SCRIPT = fileURLToPath(new URL('drawings.py', import.meta.url));
const EARLIER = fileURLToPath(new URL('../../fixtures/nets/stored-net-1.json', import.meta.url));
const PAPERS: readonly PaperName[] = ['A4', 'A3', 'Letter'];
/** librsvg takes the density twice: for millimetres, and as a zoom from 72. */
const SVG_DENSITY = 135;
const SVG_PX_PER_MM = SVG_DENSITY ** 2 / (72 * 25.4);

interface Answer {
  sentence: string;
  holds: boolean;
  detail: string;
}

export async function checkDrawings(python: string): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'conformance-drawings-'));
  try {
    for (const style of ['figure', 'bands'] as const) {
      const net = sampleNet(style);
      const isMirrored = style === 'bands';
      const put = (name: string, body: string | Uint8Array): void => {
        writeFileSync(join(folder, name), body);
      };
      put('net.dxf', netDxf(net, { mirrored: isMirrored }));
      put('net.json', netJson(net));
      put('schema.json', JSON.stringify(netJsonSchema()));
      copyFileSync(EARLIER, join(folder, 'earlier.json'));
      put('features.json', netGeoJson(net));
      for (const paper of PAPERS) {
        put(`${paper}.pdf`, await netPdf(net, { paper, mirrored: isMirrored }));
      }
      put('expected.json', JSON.stringify(expected(net, isMirrored)));
      await checkSvg(net, `${style}: `);
      const run = spawnSync(python, [SCRIPT, folder], { encoding: 'utf8', maxBuffer: 1 << 26 });
      const lines = run.stdout.trim().split('\n');
      const answers = run.status === 0 ? lines.map((line) => JSON.parse(line) as Answer) : [];
      check(
        `${style}: the readers ran to their end`,
        run.status === 0 && answers.length >= 18,
        run.stderr,
      );
      for (const { sentence, holds, detail } of answers)
        check(`${style}: ${sentence}`, holds, detail);
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** A panel of the generator as a net: straight and curved leads, mending leads. */
function sampleNet(style: Style): Net {
  const random = randomStream(`conformance ${style}`);
  const { graph } = panelNet(random.branch('panel'), STYLES[style](random.branch('design')));
  return buildNet(
    {
      nodes: graph.nodes.map((xyMm) => ({ xyMm })),
      leads: graph.leads.map((e) => ({
        from: e.from,
        to: e.to,
        kind: e.kind === 'outer' ? ('outer' as const) : ('came' as const),
        lineMm: e.line,
        faceWidthMm: e.widthMm,
        widthSpreadMm: 0.1,
        confidenceP: 1,
        doubts: [],
      })),
    },
    {
      face: 'inside',
      layer: 'front',
      surface: 'developed',
      flatten: null,
      doubtfulPlaces: [],
      madeBy: { name: 'conformance', version: '1' },
    },
  );
}

/** What the readers must find, from the net itself. */
function expected(net: Net, isMirrored: boolean) {
  const box = boundsMm(net.outlineMm);
  const { leads } = netCurves(net);
  const place = ([x, y]: readonly [number, number]) => [
    isMirrored ? box.maxX - x : x - box.minX,
    box.maxY - y,
  ];
  return {
    layers: [...Object.values(DXF_LEAD_LAYERS), ...Object.values(DXF_LAYERS)].map((l) => l.name),
    leadLayers: Object.values(DXF_LEAD_LAYERS).map((l) => l.name),
    leads: net.leads.map((lead, i) => ({
      id: lead.leadId,
      curveMm: curveLengthMm(leads[i]!),
      lineMm: polylineLengthMm(lead.lineMm),
      ends: [place(lead.lineMm[0]!), place(lead.lineMm.at(-1)!)],
      widthMm: lead.faceWidthMm,
    })),
    sightMm2: Object.fromEntries(net.pieces.map((p) => [p.pieceId, p.sightAreaMm2])),
    sizeMm: [box.maxX - box.minX, box.maxY - box.minY],
    papers: PAPERS,
  };
}

/** Rendered at about 10 px a millimetre: the panel's band and the check square must have their sizes. */
async function checkSvg(net: Net, before: string): Promise<void> {
  const svg = netSvg(net);
  const found =
    /<svg[^>]* width="([\d.]+)mm" height="([\d.]+)mm" viewBox="(\S+) (\S+) (\S+) (\S+)"/.exec(svg);
  const [width, height, left, top, boxWidth, boxHeight] = (found ?? []).slice(1).map(Number);
  check(
    `${before}SVG: one unit of the drawing is one millimetre of paper`,
    width === boxWidth && height === boxHeight && width! > 100,
    String(found?.[0]),
  );
  const { data, info } = await sharp(Buffer.from(svg), { density: SVG_DENSITY })
    .flatten({ background: '#ffffff' })
    .greyscale()
    .raw()
    .toBuffer({ resolveWithObject: true });
  check(
    `${before}SVG: librsvg makes it as large as it says`,
    Math.abs(info.width / SVG_PX_PER_MM - width!) < 0.1 &&
      Math.abs(info.height / SVG_PX_PER_MM - height!) < 0.1,
    `${info.width} × ${info.height} px for ${width} × ${height} mm`,
  );
  const box = boundsMm(net.outlineMm);
  // Only the panel's rows: the scale bar and the check square lie below it.
  const rows = Math.round((box.maxY + 3 - top!) * SVG_PX_PER_MM);
  let [minX, maxX, minY, maxY] = [Infinity, -Infinity, Infinity, -Infinity];
  for (let y = 0; y < rows; y++) {
    for (let x = 0; x < info.width; x++) {
      if (data[y * info.width + x]! > 160) continue;
      minX = Math.min(minX, x);
      maxX = Math.max(maxX, x + 1);
      minY = Math.min(minY, y);
      maxY = Math.max(maxY, y + 1);
    }
  }
  const off = [
    minX / SVG_PX_PER_MM + left! - box.minX,
    maxX / SVG_PX_PER_MM + left! - box.maxX,
    minY / SVG_PX_PER_MM + top! - box.minY,
    maxY / SVG_PX_PER_MM + top! - box.maxY,
  ];
  check(
    `${before}SVG: librsvg draws the panel's edges within 0.25 mm`,
    off.every((mm) => Math.abs(mm) <= 0.25),
    off.map((mm) => mm.toFixed(2)).join(', '),
  );
}
