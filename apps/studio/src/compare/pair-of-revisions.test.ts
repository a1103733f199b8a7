import type { NetSummary } from '../platform/api/nets.js';
import { pairOfThing, sayMaker, thingOfPair } from './pair-of-revisions.js';

const net = (revision: number, layer = 'front') => ({ revision, layer }) as NetSummary;

describe('which revisions are compared', () => {
  it('are those of the address', () => {
    expect(pairOfThing('2-5', [])).toEqual([2, 5]);
    expect(thingOfPair(5, 2)).toBe('2-5');
  });

  it('are the newest and the one before it of the same layer', () => {
    expect(pairOfThing(null, [net(4), net(3, 'back'), net(2)])).toEqual([2, 4]);
    expect(pairOfThing('nonsense', [net(2), net(1, 'back')])).toBeNull();
    expect(pairOfThing(null, [])).toBeNull();
  });

  it('say who drew them', () => {
    expect(['rubbing/3', 'hand/1', 'import-dxf/1'].map(sayMaker)).toEqual([
      'read from the rubbing',
      'edited by hand',
      'from a file',
    ]);
  });
});
