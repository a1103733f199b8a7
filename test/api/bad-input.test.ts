/**
 * Whatever is sent to whatever changes something: never a fault of the server, always a problem of
 * RFC 9457 that the API's document names, and nothing of what stood before is lost. Addresses, bodies
 * and statuses come from the document itself, so that a new endpoint is tried without a word here.
 */
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { checkArchive } from '#libs/archive';
import { type ObjectStore, openObjectStore, storesOf } from '#libs/objects';
import {
  Client,
  imageBytes,
  type MediaArchive,
  startMediaArchive,
} from '../support/media-archive.js';
import {
  type Pointer,
  placesIn,
  replacedAt,
  type Schema,
  type Schemas,
  sampleOf,
} from '../support/schema-sample.js';

interface Operation {
  readonly operationId: string;
  readonly parameters?: readonly { name: string; in: string; required?: boolean }[];
  readonly requestBody?: { content: Readonly<Record<string, { schema: Schema }>> };
  readonly responses: Readonly<Record<string, { content?: Readonly<Record<string, unknown>> }>>;
}
interface Api {
  readonly paths: Readonly<Record<string, Readonly<Record<string, Operation>>>>;
  readonly components: { readonly schemas: Schemas };
}

const API = JSON.parse(
  readFileSync(new URL('../../libs/api-client/src/openapi.json', import.meta.url), 'utf8'),
) as Api;
const CHANGES = ['post', 'put', 'patch', 'delete'] as const;
const OPERATIONS = Object.entries(API.paths).flatMap(([path, methods]) =>
  CHANGES.flatMap((method) => {
    const operation = methods[method];
    return operation === undefined ? [] : [{ path, method: method.toUpperCase(), operation }];
  }),
);
/** Tries of each operation; the seed is fixed, so that what fails fails again. */
const RUNS = { numRuns: 40, seed: 20_261_125 };
const LIMIT_MS = 120_000;

let archive: MediaArchive;
let objects: ObjectStore;
/** what is there, by the name it has in addresses and bodies */
let known: Record<string, unknown>;
let standing: { entries: number; bytes: string };

beforeAll(async () => {
  archive = await startMediaArchive();
  objects = await openObjectStore(archive.config.objects);
  const { keeper, siteId } = archive;
  const made = async (method: string, path: string, body: object) => {
    const { status, body: told } = await keeper.json(method, path, body);
    if (status > 299) throw new Error(`${path}: ${status} ${JSON.stringify(told)}`);
    return told;
  };
  const panel = await keeper.json<{ panelId: string; windowId: string }>(
    'GET',
    '/v1/marks/SLM.wI.1a',
  );
  const { panelId } = panel.body;
  const windows = await keeper.json<{ items: { windowId: string }[] }>(
    'GET',
    `/v1/sites/${siteId}/windows`,
  );
  const person = await made('POST', '/v1/people', { displayName: 'Glazier', login: 'glazier' });
  const geometry = {
    kind: 'line',
    xyMm: [
      [10, 10],
      [20, 30],
    ],
  };
  const finding = await made('POST', `/v1/panels/${panelId}/findings`, {
    term: 'glass.crack.simple',
    face: 'inside',
    geometry,
  });
  const rubbing = await made('POST', `/v1/panels/${panelId}/rubbings`, {
    conditions: { paintTested: true, looseAreas: 'none', panelSupported: true },
    sheet: { medium: 'heelball', face: 'inside', sheets: 1, takenBy: 'Glazier', shelf: 'A1' },
  });
  const picture = await keeper.fetch(`/v1/sites/${siteId}/media?fileName=a.jpg&kind=photograph`, {
    method: 'PUT',
    body: imageBytes('orientation-6.jpg'),
    headers: { 'Content-Type': 'image/jpeg' },
  });
  const { mediaId } = (await picture.json()) as { mediaId: string };
  known = {
    siteId,
    panelId,
    windowId: windows.body.items[0]?.windowId ?? panel.body.windowId,
    logId: siteId,
    personId: person['personId'],
    findingId: finding['findingId'],
    rubbingId: rubbing['rubbingId'],
    mediaId,
    revision: 1,
    mark: 'SLM.wI.1a',
    subject: 'SLM.wI.1a',
    subjects: ['SLM.wI.1a'],
    term: 'glass.crack.simple',
    geometry,
    images: [mediaId],
    evidence: [mediaId],
    happened: '2026-11-25',
    token: 'no such token',
  };
  standing = await history();
}, LIMIT_MS);
afterAll(() => archive.close());

/** What stands in the history now, as far as it stood at the beginning. */
async function history(upTo?: number): Promise<{ entries: number; bytes: string }> {
  const { rows } = await archive.pool.query<{ entries: number; bytes: string }>(
    `SELECT count(*)::int AS entries, encode(sha256(string_agg(leaf_hash, '' ORDER BY log_id, seq)), 'hex') AS bytes
     FROM (SELECT * FROM entry ORDER BY recorded_at, log_id, seq LIMIT $1) first`,
    [upTo ?? 1_000_000],
  );
  return rows[0]!;
}

// JSON.stringify leaves lone surrogates and NUL as escapes: both go over the wire (RFC 8259, 8.2)
const BAD_VALUES: readonly unknown[] = [
  null,
  true,
  '',
  0,
  -1,
  1.5,
  1e308,
  -1e308,
  2 ** 53 + 2,
  [],
  {},
  [[]],
  [null],
  '\u0000',
  'a\u0000b',
  '\ud800',
  'a\udfffb',
  '\u202e\ufeff',
  "'; DROP TABLE entry; --",
  '../../etc',
  'x'.repeat(100_000),
  '9'.repeat(400),
  '-1',
  '2026-99-99',
  '00000000-0000-0000-0000-000000000000',
  { __proto__: null, constructor: 1, toString: 2 },
  Array.from({ length: 5000 }, () => 0),
  nested(200),
];
const deep = (depth: number) => '['.repeat(depth) + ']'.repeat(depth);
/** Bodies that are no sample with one thing wrong, but wrong as a whole. */
const RAW: readonly (string | Uint8Array)[] = [
  '',
  ' ',
  '{',
  '}',
  'null',
  '[]',
  '"text"',
  '0',
  'NaN',
  '{"a":1e999}',
  '{"a":1,"a":2}',
  '{"__proto__":{"a":1}}',
  '\ufeff{}',
  deep(50_000),
  `{"note":${deep(50_000)}}`,
  new Uint8Array([0xff, 0xfe, 0x00]),
  new Uint8Array([0x7b, 0x22, 0xc3, 0x28, 0x22, 0x3a, 0x31, 0x7d]),
];
const TYPES = [
  undefined,
  '',
  'application/json; charset=utf-16',
  'text/plain',
  'application/xml',
  'multipart/form-data',
  'application/x-www-form-urlencoded',
  'application/offset+octet-stream',
  'application/octet-stream',
  'application/json;',
  'nonsense',
  'application/problem+json',
];
const BAD_IDS = [
  '-1',
  '0',
  '1e9',
  'x',
  '%00',
  '%ff',
  '%c3%28',
  '%ed%a0%80',
  '..%2f..%2fetc',
  '%27%20OR%201=1',
  'a'.repeat(250),
  'a'.repeat(2000),
  '00000000-0000-0000-0000-000000000000',
  '%20',
  '9999999999999999999999',
  'null',
  '%F0%9F%92%A9',
];
const BAD_HEADERS: readonly Readonly<Record<string, string>>[] = [
  { 'If-Match': '-1' },
  { 'If-Match': '"99999999999999999999"' },
  { 'If-Match': '*' },
  { 'If-Match': 'x' },
  { 'Idempotency-Key': 'k'.repeat(5000) },
  { 'Idempotency-Key': ' ' },
  { 'Idempotency-Key': '\u00ff' },
  { 'Upload-Length': '-1' },
  { 'Upload-Length': '1e99' },
  { 'Upload-Length': '99999999999999999999' },
  { 'Upload-Length': '5', 'Upload-Metadata': 'siteId' },
  { 'Upload-Length': '5', 'Upload-Metadata': ',,, =,' },
  { 'Upload-Length': '5', 'Upload-Metadata': `fileName ${'A'.repeat(9000)}` },
  { 'Upload-Length': '5', 'Upload-Metadata': 'siteId AAAA,fileName gICA,kind cGhvdG9ncmFwaA==' },
  { 'Upload-Offset': '-1' },
  { 'Upload-Offset': 'x' },
  { 'Upload-Checksum': 'sha256 x' },
  { 'Tus-Resumable': '9.9' },
  { Accept: 'image/png' },
  { 'Accept-Language': '*'.repeat(3000) },
];
const BAD_QUERY = [
  'fileName=&kind=',
  'fileName=a%00b&kind=photograph',
  'fileName=%ed%a0%80&kind=photograph',
  'kind[]=photograph&kind=x',
  `fileName=${'a'.repeat(5000)}&kind=photograph`,
  'fileName=a&kind=photograph&happened=2026-99',
  'fileName=../../a&kind=rubbing',
  'fileName=a&kind=photograph&clockHour=-1&elevationDeg=1e308',
  '%',
  '&&&==',
  'fileName=a&fileName=b&kind=photograph',
];

function nested(depth: number): unknown {
  return depth === 0 ? 0 : { note: nested(depth - 1) };
}

interface Try {
  readonly path: string;
  readonly headers: Record<string, string>;
  readonly body?: string | Uint8Array;
}

type Listed = (typeof OPERATIONS)[number];

function address(
  { path, operation }: Listed,
  ids: Readonly<Record<string, unknown>>,
  query = '',
): string {
  const filled = path.replace(/\{(\w+)\}/g, (_all, name: string) => {
    const id = ids[name];
    return typeof id === 'string' || typeof id === 'number'
      ? String(id)
      : '00000000-0000-7000-8000-000000000000';
  });
  const isAsking = operation.parameters?.some((one) => one.in === 'query') === true;
  return isAsking ? `${filled}?${query || 'fileName=a.jpg&kind=photograph'}` : filled;
}

/** One request to the operation with something wrong in it, or several things. */
function badTry(listed: Listed): fc.Arbitrary<Try> {
  const { operation } = listed;
  const [type, content] = Object.entries(operation.requestBody?.content ?? {})[0] ?? [];
  const samples = [true, false].map((withOptional) =>
    sampleOf(content?.schema ?? {}, API.components.schemas, known, withOptional),
  );
  const isJson = type === 'application/json';
  const spoiled = fc
    .constantFrom(...samples)
    .chain((sample) =>
      fc
        .tuple(
          fc.constantFrom(...placesIn(sample)),
          fc.oneof(fc.constantFrom(...BAD_VALUES), fc.jsonValue()),
        )
        .map(([at, value]: [Pointer, unknown]) => JSON.stringify(replacedAt(sample, at, value))),
    );
  const body: fc.Arbitrary<string | Uint8Array | undefined> =
    type === undefined
      ? fc.constant(undefined)
      : isJson
        ? fc.oneof(
            { weight: 6, arbitrary: spoiled },
            { weight: 1, arbitrary: fc.constantFrom(...RAW) },
          )
        : fc.constantFrom(...RAW);
  const rarely = <T>(of: readonly T[], otherwise: T) =>
    fc.oneof(
      { weight: 5, arbitrary: fc.constant(otherwise) },
      { weight: 1, arbitrary: fc.constantFrom(...of) },
    );
  const names = [...listed.path.matchAll(/\{(\w+)\}/g)].map(([, name]) => name!);
  const ids = fc
    .tuple(...names.map((name) => rarely<unknown>(BAD_IDS, known[name])))
    .map((values) => Object.fromEntries(names.map((name, i) => [name, values[i]])));
  return fc
    .record({
      body,
      ids,
      contentType: rarely(TYPES, type),
      headers: rarely<Readonly<Record<string, string>>>(BAD_HEADERS, { 'If-Match': '1' }),
      query: rarely(BAD_QUERY, ''),
    })
    .map(({ body: sent, ids: given, contentType, headers, query }) => ({
      path: address(listed, given, query),
      headers: {
        ...(operation.operationId.includes('Upload') && { 'Tus-Resumable': '1.0.0' }),
        ...(contentType !== undefined && sent !== undefined && { 'Content-Type': contentType }),
        ...headers,
      },
      ...(sent !== undefined && { body: sent }),
    }));
}

/** Throws for an answer that nobody could understand. */
async function holdAnswer(
  { method, operation }: Listed,
  { path, headers, body }: Try,
): Promise<void> {
  // leaving would end the keeper's session
  const isLeaving = operation.operationId === 'signOut';
  const { keeper } = archive;
  const answer = await (isLeaving ? new Client(keeper.url, 'none') : keeper).fetch(path, {
    method,
    headers,
    ...(body !== undefined && { body }),
  });
  const text = await answer.text();
  const said = `${method} ${path.slice(0, 200)} ${JSON.stringify(headers).slice(0, 200)} ${String(body).slice(0, 200)}: ${answer.status} ${text.slice(0, 300)}`;
  if (answer.status >= 500) throw new Error(`a fault of the server: ${said}`);
  if (answer.status < 400) return;
  const listed = operation.responses[answer.status];
  // an address that is none, or a body that is too large for any, belongs to no operation
  if (listed === undefined && ![404, 405, 414].includes(answer.status)) {
    throw new Error(`not in the document: ${said}`);
  }
  const type = answer.headers.get('content-type')?.split(';')[0] ?? '';
  if (type !== 'application/problem+json') throw new Error(`no problem of RFC 9457: ${said}`);
  const problem = JSON.parse(text) as { title: string; detail?: string };
  expect(problem).toMatchObject({ status: answer.status, title: expect.any(String) as string });
  expect((problem.detail ?? '').length + problem.title.length).toBeGreaterThan(10);
}

it.each(OPERATIONS.map((listed) => [`${listed.method} ${listed.path}`, listed] as const))(
  '%s',
  async (_name, listed) => {
    await fc.assert(
      fc.asyncProperty(badTry(listed), (tried) => holdAnswer(listed, tried)),
      RUNS,
    );
  },
  LIMIT_MS,
);

const LISTS = Object.entries(API.paths).flatMap(([path, { get }]) =>
  get?.parameters?.some(({ name }) => name === 'after') ? [path] : [],
);
const UUID = '00000000-0000-4000-8000-000000000000';
const MOMENT = '2026-11-25T00:00:00.000Z';
const NO_PLACES: unknown[][] = [
  ['a\u0000b', UUID],
  [MOMENT, 'a\u0000b', 0],
  [MOMENT, UUID, 0.5],
  [1, `${UUID}0`],
];
const NO_MEMBERS = [{}, null, [], 'x', '\u0000', "' OR true", 0.5, 1e308].flatMap((member) =>
  [0, 1, 2, 3, 4].map((length) => Array.from({ length }, () => member)),
);

it.each(LISTS)('a place that no list gave out is refused by %s', async (path) => {
  const listed = path.replace(/\{(\w+)\}/g, (_all, name: string) => String(known[name]));
  const texts = [
    '',
    'x',
    '\ufffd',
    'bnVsbA',
    ...[...NO_PLACES, ...NO_MEMBERS].map((key) => cursorText(key)),
  ];
  for (const after of texts) {
    const query = new URLSearchParams({ after, ...(path === '/v1/search' ? { q: 'crack' } : {}) });
    const { status, body } = await archive.keeper.json('GET', `${listed}?${query.toString()}`);
    expect({ after, status, type: body['type'], field: body['field'] }).toEqual({
      after,
      status: 400,
      type: '/problems/request-invalid',
      field: 'after',
    });
  }
});

function cursorText(key: unknown): string {
  return Buffer.from(JSON.stringify(key)).toString('base64url');
}

it(
  'a body larger than any is refused, wherever it is sent',
  async () => {
    const body = JSON.stringify({ note: 'x'.repeat(9 * 1024 ** 2) });
    for (const listed of OPERATIONS) {
      if (listed.operation.requestBody?.content['application/json'] === undefined) continue;
      await holdAnswer(listed, {
        path: address(listed, known),
        headers: { 'Content-Type': 'application/json' },
        body,
      });
    }
  },
  LIMIT_MS,
);

it(
  'after all of it everything that stood before stands, and the archive fits itself',
  async () => {
    expect(await history(standing.entries)).toEqual(standing);
    const { findings } = await checkArchive({
      pool: archive.pool,
      objects,
      stores: storesOf(objects),
      publicKey: undefined,
      objectsMode: 'all',
      withProjections: true,
    });
    expect(findings).toEqual([]);
  },
  LIMIT_MS,
);
