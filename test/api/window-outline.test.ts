/** The packed outline of a window: what is drawn of it at once, however many pieces it has. */
import { unpackOutlines } from '#libs/elevation';
import { type ApiArchive, drawTwoPieces, startApiArchive } from '../support/api-archive.js';

let archive: ApiArchive;
let site: Awaited<ReturnType<ApiArchive['site']>>;

beforeAll(async () => {
  archive = await startApiArchive();
  site = await archive.site('SLM');
}, 60_000);
afterAll(() => archive.close());

const path = () => `/v1/windows/${site.windowId}/outline`;

async function outline() {
  const told = await archive.keeper.get(path()).expect(200);
  return {
    etag: told.headers['etag']!,
    outlines: unpackOutlines(new Uint8Array(told.body as Buffer)),
  };
}

describe('the outline of a window', () => {
  it('is empty while nothing is drawn', async () => {
    expect((await outline()).outlines).toEqual([]);
  });

  it('hangs each lead drawing where its panel hangs, glass and edge under their marks', async () => {
    await drawTwoPieces(archive, site.panels['2b']!);
    const { outlines } = await outline();
    expect(outlines.map(({ name }) => name)).toEqual(['2b', '2b.1', '2b.2']);
    // Panel 2b: 520 to 1000 and 0 to 600 mm, middle 760, 300. The drawing's middle is 200, 150, so it
    // is moved by 560, 150. Glass of 200 x 300 mm pieces between leads of 6 mm: 3 mm in from each centre line.
    const glass = [
      [563, 153, 757, 447],
      [763, 153, 957, 447],
    ];
    outlines.slice(1).forEach(({ ringsMm }, i) => {
      const xs = ringsMm[0]!.map(([x]) => x);
      const ys = ringsMm[0]!.map(([, y]) => y);
      const box = [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
      box.forEach((side, s) => {
        expect(Math.abs(side - glass[i]![s]!)).toBeLessThanOrEqual(0.1);
      });
    });
  });

  it('is not sent again while it stands, and is when a drawing changes', async () => {
    const before = await outline();
    await archive.keeper.get(path()).set('If-None-Match', before.etag).expect(304);
    await drawTwoPieces(archive, site.panels['1a']!);
    const after = await outline();
    expect(after.etag).not.toBe(before.etag);
    expect(after.outlines.map(({ name }) => name)).toContain('1a.2');
  });

  it('is for those who may read the site', async () => {
    await archive.anyone.get(path()).expect(401);
  });
});
