/** The expected places were worked out by hand from the story told in each case. */
import {
  type At,
  arrivals,
  type CustodyFact,
  CustodyLedger,
  chainOfCustody,
  crateLoad,
  packingFault,
  withWhole,
} from './index.js';

const PANEL = 'SLM.wI.3b';
const HEAD = 'SLM.wI.3b.17';
const CRATE = 'crate-1';
const bench: At = { kind: 'bench' };
const painter: At = { kind: 'holder', role: 'painter', place: null };

let seq = 0;
const said = (day: string, to: At, more: Partial<CustodyFact> = {}): CustodyFact => ({
  day,
  seq: seq++,
  movementId: null,
  things: [],
  crateIds: [],
  to,
  slots: {},
  unpacks: false,
  passing: 'none',
  why: null,
  isTemporary: false,
  expectedReturn: null,
  ...more,
});

const packed = said(
  '2026-04-02',
  { kind: 'crate', crateId: CRATE },
  {
    things: [PANEL],
    slots: { [PANEL]: '2' },
  },
);
const carted = said('2026-04-03', { kind: 'place', place: 'store' }, { crateIds: [CRATE] });
const unpacked = said('2026-04-09', bench, { crateIds: [CRATE], unpacks: true });
const toPainter = said('2026-05-01', painter, { things: [HEAD], isTemporary: true });
const back = said('2026-05-20', { kind: 'whole' }, { things: [HEAD] });
const story = [packed, carted, unpacked, toPainter, back];
const upTo = (day: string) => new CustodyLedger(story.filter((fact) => fact.day <= day));

it.each([
  ['2026-04-01', PANEL, null, null],
  ['2026-04-02', PANEL, null, '2'],
  ['2026-04-03', PANEL, { kind: 'place', place: 'store' }, '2'],
  ['2026-04-03', HEAD, { kind: 'place', place: 'store' }, '2'],
  ['2026-04-09', PANEL, bench, null],
  ['2026-05-01', PANEL, bench, null],
  ['2026-05-01', HEAD, painter, null],
  ['2026-05-01', `${HEAD}a`, painter, null],
  ['2026-05-01', `${HEAD}r1`, bench, null],
  ['2026-05-20', HEAD, bench, null],
] as const)('on %s %s is where it was brought', (day, key, at, slot) => {
  const found = upTo(day).where(key);
  expect(found.at).toEqual(at);
  expect(found.crate?.slot ?? null).toBe(slot);
});

it('does not hang on the order in which things were written down', () => {
  expect(new CustodyLedger(story.toReversed()).where(PANEL).at).toEqual(bench);
  expect(new CustodyLedger(story.toReversed()).inCrate(CRATE)).toEqual([]);
});

it('follows a piece through the crate of its panel, away and back', () => {
  expect(
    chainOfCustody(story, HEAD).map(({ own, crateFact }) => crateFact?.day ?? own?.day),
  ).toEqual(['2026-04-02', '2026-04-03', '2026-04-09', '2026-05-01', '2026-05-20']);
  expect(chainOfCustody(story, PANEL)).toHaveLength(3);
  expect(chainOfCustody(story, 'SLM.wI.4b')).toEqual([]);
});

it('knows what a thing is part of', () => {
  expect(withWhole('SLM.wI.3b.17s2')).toEqual(['SLM.wI.3b.17s2', HEAD, PANEL]);
  expect(withWhole('SLM.wI.3b.17r2')).toEqual(['SLM.wI.3b.17r2', PANEL]);
  expect(withWhole(`${HEAD} sample C1`)).toEqual([`${HEAD} sample C1`, HEAD, PANEL]);
  expect(withWhole(PANEL)).toEqual([PANEL]);
});

describe('packing', () => {
  const pack = (crateId: string, slot: string, fromCrateId: string | null = null, key = PANEL) => ({
    crateId,
    fromCrateId,
    things: [key],
    slots: { [key]: slot },
  });
  const inOne = new CustodyLedger([packed]);

  it('cannot put into a second crate what lies in a first', () => {
    expect(packingFault(pack('crate-2', '1'), inOne)).toEqual({
      fault: 'in-another-crate',
      key: PANEL,
      crateId: CRATE,
    });
  });

  it('can when it is said to come out of the first, or was unpacked', () => {
    expect(packingFault(pack('crate-2', '1', CRATE), inOne)).toBeUndefined();
    expect(packingFault(pack('crate-2', '1'), upTo('2026-04-09'))).toBeUndefined();
  });

  it('can move a thing to another slot of its crate, not onto another thing', () => {
    expect(packingFault(pack(CRATE, '3'), inOne)).toBeUndefined();
    expect(packingFault(pack(CRATE, '2', null, 'SLM.wI.4b'), inOne)).toEqual({
      fault: 'slot-taken',
      key: 'SLM.wI.4b',
      slot: '2',
      by: PANEL,
    });
  });

  it('lets a piece lie in a box of its own while its panel is crated', () => {
    expect(packingFault(pack('crate-2', '1', null, HEAD), inOne)).toBeUndefined();
  });
});

it('says what became worse on the way', () => {
  const seen = (key: string, condition: 'sound' | 'broken' | 'missing') => ({
    key,
    condition,
    note: null,
  });
  const told = arrivals(
    ['a', 'b', 'c', 'd'],
    [seen('a', 'sound'), seen('b', 'broken'), seen('d', 'sound')],
    [seen('a', 'broken'), seen('b', 'broken'), seen('c', 'missing')],
  );
  expect(told.map(({ key, isWorse, arrived }) => [key, isWorse, arrived])).toEqual([
    ['a', true, 'broken'],
    ['b', false, 'broken'],
    ['c', true, 'missing'],
    ['d', false, null],
  ]);
});

it('adds up a crate and says what it does not know', () => {
  const massKg = 8.0625;
  const load = crateLoad(
    [
      { key: 'a', massKg, source: 'area' },
      { key: 'b', massKg, source: 'net' },
      { key: 'c', massKg: null, source: null },
    ],
    { emptyKg: 6, mostKg: 22 },
  );
  expect(load).toMatchObject({ totalKg: 22.125, unknown: ['c'], isOver: true });
});
