/**
 * The pairs of a text DXF, and the entities that they make up.
 *
 * Own code because the kept parser at hand does not end on a polyline that is not closed off.
 * Source: DXF reference, group codes in numerical order (from memory); read against files that
 * another program wrote in the tests.
 */
import { CartoonError } from './cartoon.js';

export interface DxfEntity {
  readonly type: string;
  readonly tags: readonly (readonly [code: number, value: string])[];
  /** Vertices of a POLYLINE. */
  readonly children: readonly DxfEntity[];
}

export interface DxfBlock {
  readonly base: readonly [number, number];
  readonly entities: readonly DxfEntity[];
}

export interface DxfSections {
  readonly header: ReadonlyMap<string, string>;
  /** Layers that are switched off or frozen. */
  readonly hiddenLayers: ReadonlySet<string>;
  readonly blocks: ReadonlyMap<string, DxfBlock>;
  readonly entities: readonly DxfEntity[];
}

const ENTITIES_MAX = 200_000;

/** @throws {CartoonError} `not-well-formed`, `too-large` */
export function dxfSections(text: string): DxfSections {
  const tags = pairs(text);
  const header = new Map<string, string>();
  const hiddenLayers = new Set<string>();
  const blocks = new Map<string, DxfBlock>();
  let entities: DxfEntity[] = [];
  let at = 0;
  while (at < tags.length) {
    const isSection = is(tags[at], 0, 'SECTION') && tags[at + 1]?.[0] === 2;
    if (!isSection) {
      at++;
      continue;
    }
    const name = tags[at + 1]![1];
    let end = at + 2;
    while (end < tags.length && !is(tags[end], 0, 'ENDSEC')) end++;
    const inside = tags.slice(at + 2, end);
    if (name === 'HEADER') readHeader(inside, header);
    if (name === 'TABLES') readLayers(inside, hiddenLayers);
    if (name === 'BLOCKS') readBlocks(inside, blocks);
    if (name === 'ENTITIES') entities = readEntities(inside);
    at = end + 1;
  }
  return { header, hiddenLayers, blocks, entities };
}

type Tag = readonly [code: number, value: string];

function pairs(text: string): Tag[] {
  const lines = text.split(/\r\n|\r|\n/);
  const out: Tag[] = [];
  for (let i = 0; i + 1 < lines.length; i += 2) {
    const code = Number(lines[i]!.trim());
    if (!Number.isInteger(code) || lines[i]!.trim() === '') {
      throw new CartoonError(
        'not-well-formed',
        `The DXF breaks off at line ${i + 1}: a group code was expected there. Save it again as a text DXF.`,
      );
    }
    const value = lines[i + 1]!.trim();
    out.push([code, value]);
    if (code === 0 && value === 'EOF') break;
  }
  return out;
}

function is(tag: Tag | undefined, code: number, value: string): boolean {
  return tag?.[0] === code && tag[1] === value;
}

function readHeader(tags: readonly Tag[], header: Map<string, string>): void {
  tags.forEach(([code, value], i) => {
    if (code === 9 && tags[i + 1] !== undefined) header.set(value, tags[i + 1]![1]);
  });
}

function readLayers(tags: readonly Tag[], hidden: Set<string>): void {
  for (const { type, tags: own } of grouped(tags)) {
    if (type !== 'LAYER') continue;
    const name = first(own, 2);
    const isFrozen = (Number(first(own, 70) ?? 0) & 1) === 1;
    const isOff = Number(first(own, 62) ?? 7) < 0;
    if (name !== undefined && (isFrozen || isOff)) hidden.add(name);
  }
}

function readBlocks(tags: readonly Tag[], blocks: Map<string, DxfBlock>): void {
  let at = 0;
  while (at < tags.length) {
    if (!is(tags[at], 0, 'BLOCK')) {
      at++;
      continue;
    }
    let end = at + 1;
    while (end < tags.length && !is(tags[end], 0, 'ENDBLK')) end++;
    let body = at + 1;
    while (body < end && tags[body]![0] !== 0) body++;
    const head = tags.slice(at + 1, body);
    const name = first(head, 2);
    if (name !== undefined) {
      blocks.set(name, {
        base: [Number(first(head, 10) ?? 0), Number(first(head, 20) ?? 0)],
        entities: readEntities(tags.slice(body, end)),
      });
    }
    at = end + 1;
  }
}

function readEntities(tags: readonly Tag[]): DxfEntity[] {
  const out: DxfEntity[] = [];
  let polyline: { children: DxfEntity[] } | null = null;
  for (const entity of grouped(tags)) {
    if (entity.type === 'VERTEX') {
      polyline?.children.push(entity);
      continue;
    }
    polyline = null;
    if (entity.type === 'SEQEND') continue;
    if (entity.type === 'POLYLINE') {
      const children: DxfEntity[] = [];
      polyline = { children };
      out.push({ ...entity, children });
    } else out.push(entity);
  }
  if (out.length > ENTITIES_MAX) {
    throw new CartoonError(
      'too-large',
      `The DXF has more than ${ENTITIES_MAX} entities: that is no cartoon of one panel. Save only the layer of the leads.`,
    );
  }
  return out;
}

/** From one code 0 to the next. */
function grouped(tags: readonly Tag[]): DxfEntity[] {
  const out: DxfEntity[] = [];
  let own: Tag[] = [];
  for (const tag of tags) {
    if (tag[0] === 0) {
      own = [];
      out.push({ type: tag[1], tags: own, children: [] });
    } else own.push(tag);
  }
  return out;
}

/** The first value of a group code. */
export function first(tags: DxfEntity['tags'], code: number): string | undefined {
  return tags.find((tag) => tag[0] === code)?.[1];
}
