/** What may happen to a finding on a phone; the rules are the house's own: nothing is lost, nothing mixed. */
import type { Finding } from '../../platform/api/findings.js';
import {
  afterNoted,
  freshNote,
  mayGiveUp,
  type NotedEvent,
  type NotedFinding,
  nextNoted,
  saysTheSame,
} from './noted.js';

const found = (version: number, state: Finding['state'] = 'recorded'): Finding => ({
  findingId: 'f',
  panelId: 'p',
  inPanel: '13',
  term: 'glass.crack.simple',
  geometry: {
    kind: 'line',
    xyMm: [
      [0, 0],
      [10, 0],
    ],
  },
  measure: { countN: 1, lengthMm: 10, areaMm2: null, shareRatio: null },
  entered: {},
  measureText: '10 mm',
  face: 'inside',
  layer: 'front',
  evidence: [],
  happened: null,
  note: null,
  state,
  entrySeq: version,
  version,
});
const note = (corrects: Finding | null = null, id = 'n'): NotedFinding =>
  freshNote({
    id,
    key: `${id}-key`,
    archiveId: 'a',
    panelId: 'p',
    mark: 'SLM.wI.1a.13',
    notedAt: '2026-03-04T10:00:00Z',
    body: {
      term: 'glass.crack.simple',
      geometry: {
        kind: 'line',
        xyMm: [
          [0, 0],
          [10, 0],
        ],
      },
      face: 'inside',
    },
    measureText: '10 mm',
    corrects,
  });
const after = (first: NotedFinding, ...events: NotedEvent[]) => events.reduce(afterNoted, first);
const receipt = { findingId: 'f', logId: 's', seq: 7 };

it('goes from this phone into the archive, and is sure there only when it was proven', () => {
  const received = after(note(), { kind: 'begun' }, { kind: 'received', receipt });
  expect(received.state).toBe('received');
  expect(mayGiveUp(received)).toBe(false);
  expect(after(received, { kind: 'proven' }).state).toBe('proven');
  expect(after(note(), { kind: 'proven' }).state).toBe('waiting');
});

it('cannot be given up once it may have reached the archive', () => {
  expect(after(note(), { kind: 'discarded' }).state).toBe('discarded');
  expect(after(note(), { kind: 'begun' }, { kind: 'discarded' }).state).toBe('waiting');
});

it('keeps its key through failures, so that it is written once', () => {
  const failed = after(
    note(),
    { kind: 'begun' },
    { kind: 'failed', why: 'no line', atMs: 1000, chance: 1 },
  );
  expect(failed.key).toBe('n-key');
  expect(failed.nextTryMs).toBe(2000);
  expect(after(failed, { kind: 'hurry' }).nextTryMs).toBe(0);
});

it('stands beside theirs when what it corrects has changed, and waits for a word', () => {
  const both = after(note(found(3)), { kind: 'begun' }, { kind: 'conflict', theirs: found(9) });
  expect(both.state).toBe('conflict');
  expect(nextNoted([both], 'a', 1e12)).toEqual({ act: 'rest', untilMs: Infinity });
  const onTop = after(both, { kind: 'on-top', key: 'k2' });
  expect(onTop).toMatchObject({
    state: 'waiting',
    key: 'k2',
    corrects: { version: 9 },
    theirs: null,
  });
  const own = after(both, { kind: 'as-own', key: 'k3' });
  expect(own).toMatchObject({ state: 'waiting', key: 'k3', corrects: null });
  expect(after(both, { kind: 'discarded' }).state).toBe('discarded');
});

it('is not put on top of what was withdrawn', () => {
  const both = after(note(found(3)), { kind: 'conflict', theirs: found(9, 'withdrawn') });
  expect(after(both, { kind: 'on-top', key: 'k2' })).toBe(both);
});

it('proves what was received before it sends the next, and sends only to its own archive', () => {
  const received = after(note(null, 'r'), { kind: 'received', receipt });
  expect(nextNoted([note(), received], 'a', 0)).toMatchObject({ act: 'prove', note: { id: 'r' } });
  expect(nextNoted([note()], 'a', 0)).toMatchObject({ act: 'send', note: { id: 'n' } });
  expect(nextNoted([note()], 'another', 0).act).toBe('rest');
});

describe('a correction that another device has sent', () => {
  const { body } = note(found(3));
  const theirs: Finding = {
    ...found(7),
    ...body,
    inPanel: '13',
    happened: body.happened ?? null,
    note: body.note ?? null,
    evidence: body.evidence ?? [],
    layer: 'front',
  };
  const shifted = (byMm: number): Finding => ({
    ...theirs,
    geometry: {
      ...theirs.geometry,
      xyMm: theirs.geometry.xyMm.map(([x, y]) => [x + byMm, y] as const),
    },
  });

  it('is known again, to the hundredth of a millimetre that the archive keeps', () => {
    expect(saysTheSame(body, theirs)).toBe(true);
    expect(saysTheSame(body, shifted(0.005))).toBe(true);
  });

  it.each<[string, Finding]>([
    ['a place beside it', shifted(0.5)],
    ['another note', { ...theirs, note: 'somebody else’s' }],
    ['another term', { ...theirs, term: 'glass.crack.branched' }],
    ['another face', { ...theirs, face: theirs.face === 'inside' ? 'outside' : 'inside' }],
    ['one that was withdrawn', { ...theirs, state: 'withdrawn' }],
  ])('is not taken for %s', (_, other) => {
    expect(saysTheSame(body, other)).toBe(false);
  });
});
