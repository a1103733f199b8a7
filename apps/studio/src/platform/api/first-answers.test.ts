import { answer, askFirst, forgetFirst } from './first-answers.js';

const ORIGIN = 'http://archive.invalid';

/** An archive that counts what it is asked for over the network. */
class Network {
  readonly asked: string[] = [];

  constructor(private readonly first: Readonly<Record<string, { type: string; body: unknown }>>) {}

  readonly fetch = (what: string | Request): Promise<Response> => {
    const path = typeof what === 'string' ? what : what.url.slice(ORIGIN.length);
    this.asked.push(path);
    if (path.startsWith('/first/answers')) return Promise.resolve(Response.json(this.first));
    if (path.startsWith('/first/outline'))
      return Promise.resolve(
        new Response('MLNO', { headers: { 'Content-Location': '/v1/windows/w/outline' } }),
      );
    return Promise.resolve(Response.json({ over: 'the network' }));
  };
}

const kept = globalThis.fetch;
afterEach(() => {
  globalThis.fetch = kept;
  forgetFirst();
});

function begin(first: ConstructorParameters<typeof Network>[0], path = '/at/SLM.wI'): Network {
  const network = new Network(first);
  globalThis.fetch = network.fetch as typeof fetch;
  askFirst(path);
  return network;
}
const get = (path: string) => answer(new Request(ORIGIN + path));

describe('first answers', () => {
  it('are given once, the next is asked for over the network', async () => {
    const network = begin({ '/v1/sites': { type: 'application/json', body: { items: [1] } } });
    expect(await (await get('/v1/sites')).json()).toEqual({ items: [1] });
    expect(await (await get('/v1/sites')).json()).toEqual({ over: 'the network' });
    expect(network.asked.at(-1)).toBe('/v1/sites');
  });

  it('give a text as it was', async () => {
    begin({ '/v1/logs/a/checkpoint': { type: 'text/plain', body: 'origin\n3\n' } });
    expect(await (await get('/v1/logs/a/checkpoint')).text()).toBe('origin\n3\n');
  });

  it('stand for no other question and no write', async () => {
    begin({ '/v1/windows/w': { type: 'application/json', body: {} } });
    expect(await (await get('/v1/windows/w?at=2020-01-01')).json()).toEqual({
      over: 'the network',
    });
    const write = new Request(`${ORIGIN}/v1/windows/w`, { method: 'POST', body: '{}' });
    expect(await (await answer(write)).json()).toEqual({ over: 'the network' });
  });

  it('hold no longer after a write', async () => {
    begin({ '/v1/state': { type: 'application/json', body: { me: null } } });
    forgetFirst();
    expect(await (await get('/v1/state')).json()).toEqual({ over: 'the network' });
  });

  it('have the lead drawings of the window that they are of, and of no other', async () => {
    begin({});
    expect(await (await get('/v1/windows/other/outline')).json()).toEqual({ over: 'the network' });
    expect(await (await get('/v1/windows/w/outline')).text()).toBe('MLNO');
    expect(await (await get('/v1/windows/w/outline')).json()).toEqual({ over: 'the network' });
  });

  it('are not asked for where the page opens without a line', async () => {
    const network = begin({}, '/phone');
    await get('/v1/state');
    expect(network.asked).toEqual(['/v1/state']);
  });
});
