import type { Finding, FindingBody } from '../platform/api/findings.js';
import { type DeskPorts, type DrawnItem, FindingDesk } from './finding-desk.js';

/** An archive that records under a key once, can be out of reach, and remembers what was withdrawn. */
class Archive implements DeskPorts {
  readonly recorded = new Map<string, FindingBody>();
  readonly withdrawn: string[] = [];
  shelf: readonly DrawnItem[] = [];
  isAway = false;
  #keys = 0;
  /** the answer is lost on its way after the archive has taken it */
  isDeaf = false;

  send = async (body: FindingBody, key: string): Promise<Finding> => {
    await Promise.resolve();
    if (this.isAway) throw new TypeError('no line');
    if (body.term === 'unknown') throw new RangeError('there is no such term');
    this.recorded.set(key, body);
    if (this.isDeaf) throw new TypeError('no answer');
    return { findingId: `finding ${key}`, version: 7 } as Finding;
  };
  withdraw = (findingId: string, version: number) => {
    expect(version).toBe(7);
    this.withdrawn.push(findingId);
    return Promise.resolve();
  };
  newKey = () => String(++this.#keys);
  trouble = (error: unknown) => ({
    why: (error as Error).message,
    isFinal: error instanceof RangeError,
  });
  keep = (items: readonly DrawnItem[]) => {
    this.shelf = items;
  };
  kept = () => this.shelf;
}

const crack = (x: number): FindingBody => ({
  term: 'glass.crack.simple',
  geometry: {
    kind: 'line',
    xyMm: [
      [x, 0],
      [x, 10],
    ],
  },
  face: 'inside',
});

describe('findings on their way', () => {
  it('are sent one after the other while the hand goes on', async () => {
    const archive = new Archive();
    const desk = new FindingDesk(archive);
    const first = desk.record('crack', [crack(1)]);
    const second = desk.record('crack', [crack(2)]);
    expect(desk.state().items.map(({ state }) => state)).toEqual(['sending', 'waiting']);
    await Promise.all([first, second]);
    expect(desk.state().items.map(({ state }) => state)).toEqual(['kept', 'kept']);
    expect([...archive.recorded.values()]).toEqual([crack(1), crack(2)]);
    expect(archive.shelf).toEqual([]);
  });

  it('wait without a line, survive the page, and are recorded once', async () => {
    const archive = new Archive();
    archive.isDeaf = true;
    const desk = new FindingDesk(archive);
    await desk.record('crack', [crack(1)]);
    archive.isDeaf = false;
    archive.isAway = true;
    await desk.record('crack', [crack(2)]);
    expect(desk.state().why).toBe('no line');
    expect(archive.shelf).toHaveLength(2);
    archive.isAway = false;
    const reopened = new FindingDesk(archive);
    await reopened.send();
    expect([...archive.recorded.keys()]).toEqual(['1', '2']);
    expect(reopened.state().items.every(({ state }) => state === 'kept')).toBe(true);
  });

  it('go on past one that is refused, which stays to be seen', async () => {
    const archive = new Archive();
    const desk = new FindingDesk(archive);
    await desk.record('?', [{ ...crack(1), term: 'unknown' }]);
    await desk.record('crack', [crack(2)]);
    const [refused, kept] = desk.state().items;
    expect(refused).toMatchObject({ state: 'refused', why: 'there is no such term' });
    expect(kept!.state).toBe('kept');
    desk.drop(refused!.key);
    expect(desk.state().acts.map(({ words }) => words)).toEqual(['crack']);
  });
});

describe('taking back', () => {
  it('withdraws the last act whole, then the one before', async () => {
    const archive = new Archive();
    const desk = new FindingDesk(archive);
    await desk.record('crack', [crack(1)]);
    await desk.record('2 copies of crack', [crack(2), crack(3)]);
    await desk.undo();
    expect(archive.withdrawn).toEqual(['finding 2', 'finding 3']);
    await desk.undo();
    await desk.undo();
    expect(archive.withdrawn).toEqual(['finding 2', 'finding 3', 'finding 1']);
    expect(desk.state()).toMatchObject({ items: [], acts: [] });
  });

  it('asked for twice at once takes two acts back', async () => {
    const archive = new Archive();
    const desk = new FindingDesk(archive);
    await desk.record('crack', [crack(1)]);
    await desk.record('crack', [crack(2)]);
    await Promise.all([desk.undo(), desk.undo()]);
    expect(archive.withdrawn.toSorted()).toEqual(['finding 1', 'finding 2']);
  });

  it('drops what has not been sent, and waits for what is on its way', async () => {
    const archive = new Archive();
    const desk = new FindingDesk(archive);
    const sent = desk.record('crack', [crack(1)]);
    await desk.undo();
    await sent;
    expect(archive.withdrawn).toEqual(['finding 1']);
    archive.isAway = true;
    await desk.record('crack', [crack(2)]);
    await desk.undo();
    expect(archive.withdrawn).toEqual(['finding 1']);
    expect(desk.state().items).toEqual([]);
  });
});
