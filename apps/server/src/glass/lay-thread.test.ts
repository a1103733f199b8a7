import { type CutPiece, layPieces, type SheetKind } from '#libs/cutting';
import { LayThread } from './lay-thread.js';

const square = (piece: string, sideMm: number): CutPiece => ({
  piece,
  ringMm: [
    [0, 0],
    [sideMm, 0],
    [sideMm, sideMm],
    [0, sideMm],
  ],
  grainDeg: null,
});
const sheet = (sideMm: number): SheetKind => ({
  sheet: 'ruby',
  widthMm: sideMm,
  heightMm: sideMm,
  grainDeg: null,
  count: 5,
  isOffcut: false,
});
const options = { gapMm: 0, edgeMm: 0 };
const pieces = Array.from({ length: 9 }, (_, i) => square(String(i + 1), 100));

const laying = new LayThread();
afterAll(() => laying.onModuleDestroy());

it('lays as layPieces does, while this thread goes on', async () => {
  let turns = 0;
  const ticking = setInterval(() => turns++, 1);
  const laid = await laying.lay(pieces, [sheet(300)], options);
  clearInterval(ticking);
  // nine squares of 100 fill a sheet of 300 by 300 wholly
  expect(laid).toMatchObject({ leastSheets: 1, missingSheets: 0, unlaid: [], tooLarge: [] });
  expect(laid.sheets).toHaveLength(1);
  expect(laid).toEqual(layPieces(pieces, [sheet(300)], options));
  expect(turns).toBeGreaterThan(0);
});

it('tells again what it laid, and lays anew what differs', async () => {
  const once = laying.lay(pieces, [sheet(300)], options);
  expect(laying.lay(pieces, [sheet(300)], options)).toBe(once);
  const smaller = await laying.lay(pieces, [sheet(200)], options);
  expect(smaller.sheets).toHaveLength(3); // four squares to a sheet of 200 by 200
});

it('says what went wrong, and goes on', async () => {
  const none = undefined as unknown as readonly SheetKind[];
  await expect(laying.lay(pieces, none, options)).rejects.toThrow(/laying the pieces failed/);
  await expect(laying.lay(pieces.slice(1), [sheet(300)], options)).resolves.toMatchObject({
    leastSheets: 1,
  });
});

it('leaves nobody waiting when it ends', async () => {
  const other = new LayThread();
  const waiting = other.lay(pieces, [sheet(300)], options);
  const told = expect(waiting).rejects.toThrow('the thread that lays pieces ended');
  await other.onModuleDestroy();
  await told;
});
