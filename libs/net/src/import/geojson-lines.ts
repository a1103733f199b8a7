/** Lines of a GeoJSON drawing (RFC 7946 geometries, plane coordinates). */
import { z } from 'zod';
import { CartoonError } from './cartoon.js';
import { kindOfName, LineBox, type RawDrawing } from './raw-line.js';

const place = z.array(z.number()).min(2);
const places = z.array(place);
const DEPTH_MAX = 20;

interface Feature {
  readonly type?: unknown;
  readonly coordinates?: unknown;
  readonly geometry?: unknown;
  readonly geometries?: unknown;
  readonly features?: unknown;
  readonly properties?: unknown;
}

/**
 * GeoJSON has no unit: this program's own files say mm, for others a person says it. Its y axis points up, as a map's
 * does, unless the file is ours and says down.
 *
 * @throws {CartoonError} `not-well-formed`, `unit-unknown`, `too-large`
 */
export function geojsonLines(text: string, unitMm: number | undefined): RawDrawing {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    throw new CartoonError(
      'not-well-formed',
      'The file is no JSON that can be read. Save it again as GeoJSON.',
    );
  }
  const head = value as {
    type?: unknown;
    unit?: unknown;
    yAxis?: unknown;
    format?: unknown;
  } | null;
  if (typeof head?.type !== 'string') {
    throw new CartoonError(
      'unknown-format',
      'This is JSON, but no GeoJSON: it has no type such as FeatureCollection. Save the drawing as GeoJSON.',
    );
  }
  const isOurs = typeof head.format === 'string' && head.format.startsWith('mullion-net');
  const mm = unitMm ?? (isOurs || head.unit === 'mm' ? 1 : undefined);
  if (mm === undefined) {
    throw new CartoonError(
      'unit-unknown',
      'GeoJSON states no unit. Say how many millimetres one unit of the drawing is.',
    );
  }
  const sign = isOurs || head.yAxis === 'down' ? 1 : -1;
  const box = new LineBox();
  const put = (points: unknown, isClosed: boolean, layer: string, face: number | null) => {
    const read = places.safeParse(points);
    if (!read.success) {
      throw new CartoonError(
        'not-well-formed',
        `A geometry${layer === '' ? '' : ` of ${layer}`} has coordinates that are no list of places. Save it again as GeoJSON.`,
      );
    }
    box.put({
      pointsMm: read.data.map(([x, y]) => [x! * mm, sign * y! * mm]),
      isClosed,
      layer,
      kind: kindOfName(layer),
      faceWidthMm: face,
    });
  };
  const walk = (one: Feature | null, layer: string, face: number | null, depth: number): void => {
    if (one === null || typeof one !== 'object') return;
    if (depth > DEPTH_MAX) {
      throw new CartoonError('too-large', 'The GeoJSON nests its geometries too deep to be read.');
    }
    const each = (list: unknown, use: (item: unknown) => void) => {
      if (Array.isArray(list)) list.forEach(use);
    };
    switch (one.type) {
      case 'FeatureCollection':
        each(one.features, (feature) => {
          walk(feature as Feature, layer, face, depth + 1);
        });
        return;
      case 'Feature': {
        const said = (one.properties ?? {}) as Record<string, unknown>;
        const name = ['layer', 'kind', 'what', 'name'].map((key) => said[key]).find(isText);
        const mmFace = said['faceWidthMm'];
        walk(
          one.geometry as Feature,
          name ?? layer,
          typeof mmFace === 'number' && mmFace > 0 && mmFace < 100 ? mmFace : null,
          depth + 1,
        );
        return;
      }
      case 'GeometryCollection':
        each(one.geometries, (geometry) => {
          walk(geometry as Feature, layer, face, depth + 1);
        });
        return;
      case 'LineString':
        put(one.coordinates, false, layer, face);
        return;
      case 'MultiLineString':
        each(one.coordinates, (line) => {
          put(line, false, layer, face);
        });
        return;
      case 'Polygon':
        each(one.coordinates, (ring) => {
          put(ring, true, layer, face);
        });
        return;
      case 'MultiPolygon':
        each(one.coordinates, (polygon) => {
          each(polygon, (ring) => {
            put(ring, true, layer, face);
          });
        });
    }
  };
  walk(head, '', null, 0);
  return {
    format: 'geojson',
    unitMm: mm,
    unitFrom: unitMm === undefined ? 'the file' : 'as you said',
    isUnitAssumed: false,
    keepsFrame: isOurs,
    lines: box.lines,
    leftOut: [],
  };
}

function isText(value: unknown): value is string {
  return typeof value === 'string' && value !== '';
}
