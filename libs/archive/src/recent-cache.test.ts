import { RecentCache } from './recent-cache.js';

describe('RecentCache', () => {
  it('lets go of what was used longest ago, by weight', () => {
    const gone: string[] = [];
    const cache = new RecentCache<string>(10, (value) => gone.push(value));
    cache.set('a', 'A', 4);
    cache.set('b', 'B', 4);
    expect(cache.get('a')).toBe('A');
    cache.set('c', 'C', 4);
    expect(gone).toEqual(['B']);
    expect([cache.get('a'), cache.get('b'), cache.get('c')]).toEqual(['A', undefined, 'C']);
  });

  it('replaces a value and counts its new weight', () => {
    const gone: string[] = [];
    const cache = new RecentCache<string>(10, (value) => gone.push(value));
    cache.set('a', 'old', 9);
    cache.set('a', 'new', 2);
    cache.set('b', 'B', 8);
    expect(gone).toEqual(['old']);
    expect(cache.get('a')).toBe('new');
  });

  it('keeps nothing that is heavier than all it may hold', () => {
    const gone: string[] = [];
    const cache = new RecentCache<string>(10, (value) => gone.push(value));
    cache.set('a', 'A', 11);
    expect([cache.get('a'), gone]).toEqual([undefined, ['A']]);
    cache.set('b', 'B', 1);
    cache.clear();
    expect(gone).toEqual(['A', 'B']);
  });
});
