import fc from 'fast-check';
import { z } from 'zod';
import { compareMarks, parseMark } from '#libs/marks';
import { readConfig } from './config.js';
import { checkedEdtf, firstDay } from './happened.js';
import { uuidOfName, uuidV7 } from './id.js';
import { checkedOpening, checkedWindow, sortKeyOfPiece } from './marks.js';
import { parsed } from './parse-body.js';
import { requestDigest } from './request-digest.js';
import { grantBehind, isAtLeast, narrowed, roleAmong } from './role.js';

describe('dates', () => {
  // Valid and invalid forms: the EDTF specification (Library of Congress), levels 0 to 2.
  it.each([
    ['1985-04-12', '1985-04-12'],
    ['1985', '1985-01-01'],
    ['1984~', '1984-01-01'],
    ['2004-06?', '2004-06-01'],
    ['198X', '1980-01-01'],
    ['2004-02-01/2005-02-08', '2004-02-01'],
    ['../1985', null],
    ['1667-05', '1667-05-01'],
  ])('%s begins on %s', (text, day) => {
    expect(checkedEdtf(text)).toBe(text);
    expect(firstDay(text)).toBe(day);
  });

  it.each(['1985-13', '1985-02-30', 'about 1985', '12/04/1985', ''])('%s is none', (text) => {
    expect(() => checkedEdtf(text)).toThrow(/no EDTF date/);
  });
});

describe('text that cannot be kept', () => {
  // NUL: PostgreSQL manual, section 8.3; half a surrogate pair: RFC 8785 section 3.2.2.2.
  it.each(['wax\0on paper', '\ud800', 'half \udc00'])('%j is refused by its field', (text) => {
    const schema = z.object({ notes: z.array(z.string()) });
    expect(() => parsed(schema, { notes: ['fine', text] })).toThrow(
      /^notes\[1\]: holds a character/,
    );
    expect(() => parsed(z.record(z.string(), z.number()), { [text]: 1 })).toThrow(/cannot be kept/);
  });

  it('whole pairs and other controls are kept', () => {
    expect(parsed(z.string(), 'lead \ud83d\udd25\n\t')).toBe('lead \ud83d\udd25\n\t');
  });
});

describe('ids', () => {
  it('version 7 holds the time and the version (RFC 9562 section 5.7)', () => {
    const at = Date.parse('2026-11-25T08:00:00.000Z');
    const id = uuidV7(at);
    expect(id).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
    expect(Number.parseInt(id.replaceAll('-', '').slice(0, 12), 16)).toBe(at);
    expect(uuidV7(at)).not.toBe(id);
  });

  it('of a name are the same for the same name only', () => {
    expect(uuidOfName('panel', 'w', '2b')).toBe(uuidOfName('panel', 'w', '2b'));
    expect(uuidOfName('panel', 'w', '2b')).not.toBe(uuidOfName('panel', 'w', '2c'));
    expect(z.uuid().safeParse(uuidOfName('panel', 'w', '2b')).success).toBe(true);
  });
});

describe('sort keys', () => {
  const windows = ['I', 'nII', 'nX', 'sII', 'sXI', 'wI', 'ntII', 'NII', 'SIV'];
  const openings = ['1a', '2b', '10a', '10aa', 'A1', 'B2', 'A10'];
  const pieces = ['1', '2', '10', '17', '17a', '17b', '17r2', '17s3', '17p1', 'L12', 'J4'];

  it.each([
    [
      'windows',
      windows,
      (text: string) => checkedWindow(text, 'church').sortKey,
      (t: string) => `SLM.${t}`,
    ],
    [
      'openings',
      openings,
      (text: string) => checkedOpening(text).sortKey,
      (t: string) => `SLM.wI.${t}`,
    ],
    ['pieces', pieces, sortKeyOfPiece, (t: string) => `SLM.wI.2b.${t}`],
  ])('order %s as libs/marks does', (_, texts, keyOf, fullMark) => {
    fc.assert(
      fc.property(fc.constantFrom(...texts), fc.constantFrom(...texts), (a, b) => {
        const asMarks = compareMarks(
          parseMark(fullMark(a), 'church'),
          parseMark(fullMark(b), 'church'),
        );
        const [x, y] = [keyOf(a), keyOf(b)];
        expect(Math.sign(x < y ? -1 : x > y ? 1 : 0)).toBe(Math.sign(asMarks));
      }),
    );
  });
});

describe('roles', () => {
  it('rise in order, and hold where they were given', () => {
    const grants = [
      { siteId: 'a', role: 'recorder' as const },
      { siteId: null, role: 'reader' as const },
    ];
    expect(roleAmong(grants, 'a')).toBe('recorder');
    expect(roleAmong(grants, 'b')).toBe('reader');
    expect(roleAmong(grants, null)).toBe('reader');
    expect(roleAmong([grants[0]!], null)).toBeNull();
    expect(isAtLeast('approver', 'conservator')).toBe(true);
    expect(isAtLeast('recorder', 'conservator')).toBe(false);
    expect(isAtLeast(null, 'reader')).toBe(false);
  });

  it('of a token for one site end there', () => {
    const grants = narrowed([{ siteId: null, role: 'keeper' }], 'a');
    expect(roleAmong(grants, 'a')).toBe('keeper');
    expect(roleAmong(grants, 'b')).toBeNull();
    expect(roleAmong(grants, null)).toBeNull();
  });

  it('of a phone are no more than it was paired for, beside what its owner holds', () => {
    const held = [
      { siteId: 'a', role: 'approver' as const },
      { siteId: 'b', role: 'reader' as const },
    ];
    expect(narrowed(held, null, 'recorder')).toEqual([
      { siteId: 'a', role: 'recorder', held: 'approver' },
      { siteId: 'b', role: 'reader', held: 'reader' },
    ]);
  });
});

describe('the grant behind an act', () => {
  const leaf = (index: number) => ({ origin: 'mullion/archive-1/studio', index, leafHash: 'ab' });
  const grants = [
    { siteId: 'a', role: 'keeper' as const, givenBy: leaf(7) },
    { siteId: null, role: 'keeper' as const, givenBy: leaf(3) },
    { siteId: 'a', role: 'recorder' as const, givenBy: leaf(1) },
    { siteId: 'b', role: 'conservator' as const, givenBy: null },
  ];

  it('is the one that gives the highest role there, the earliest of several', () => {
    expect(grantBehind(grants, 'a')).toEqual(leaf(3));
    expect(grantBehind(grants.slice(2), 'a')).toEqual(leaf(1));
    expect(grantBehind(grants.slice(0, 1), 'a')).toEqual(leaf(7));
  });

  it('is none where there is no role, or its entry is not written yet', () => {
    expect(grantBehind(grants.slice(0, 1), 'b')).toBeUndefined();
    expect(grantBehind(grants.slice(3), 'b')).toBeUndefined();
  });
});

describe('request digests', () => {
  it('do not depend on a password, which could be guessed from them', () => {
    const of = (password: string) =>
      requestDigest('x.y', { login: 'a', password }, undefined, ['password']);
    expect(of('one')).toBe(of('two'));
    expect(requestDigest('x.y', { a: 1, b: 2 }, undefined)).toBe(
      requestDigest('x.y', { b: 2, a: 1 }, undefined),
    );
    expect(requestDigest('x.y', {}, '1')).not.toBe(requestDigest('x.y', {}, '2'));
  });
});

describe('what comes in', () => {
  const shape = z.object({
    geometry: z.union([
      z.strictObject({ kind: z.string(), xyMm: z.array(z.number()) }),
      z.strictObject({ kind: z.string(), mediaId: z.uuid(), xyPx: z.array(z.number()) }),
    ]),
  });

  it('names the field of the shape that fits best', () => {
    let refusal: unknown;
    try {
      parsed(shape, { geometry: { kind: 'line', xyMm: [1, 'two'] } });
    } catch (error) {
      refusal = error;
    }
    expect(refusal).toMatchObject({
      code: 'request-invalid',
      members: { field: 'geometry.xyMm[1]' },
    });
  });
});

describe('configuration', () => {
  it('names every variable that does not fit', () => {
    expect(() => readConfig({ MULLION_PORT: 'x', MULLION_OBJECTS: 'ftp://x' })).toThrow(
      /DATABASE_URL[\s\S]*MULLION_PORT[\s\S]*MULLION_OBJECTS/,
    );
  });

  it('has the home hold what is not named', () => {
    const config = readConfig({ DATABASE_URL: 'postgresql://x', MULLION_HOME: '/home/studio' });
    expect(config).toMatchObject({
      objects: 'file:/home/studio/objects',
      keyFile: '/home/studio/archive-key.pem',
      host: '127.0.0.1',
      isDemo: false,
    });
  });
});
