import { once } from 'node:events';
import { PassThrough, Readable } from 'node:stream';
import { eachChunk } from './each-chunk.js';

const soon = () => new Promise((resolve) => setTimeout(resolve, 5));

describe('eachChunk', () => {
  it('hands on all chunks in their order and waits where it is asked to', async () => {
    const sent = Array.from({ length: 50 }, (_, i) => Buffer.from([i]));
    const taken: Uint8Array[] = [];
    let atOnce = 0;
    await eachChunk(Readable.from(sent), (chunk) => {
      taken.push(chunk);
      expect(++atOnce).toBe(1);
      if (chunk[0]! % 3 > 0) {
        atOnce -= 1;
        return undefined;
      }
      return soon().then(() => {
        atOnce -= 1;
      });
    });
    expect(taken).toEqual(sent);
  });

  it('throws what the taker threw, at once or late, and lets the body be', async () => {
    for (const fail of [
      () => {
        throw new Error('no room');
      },
      () => Promise.reject(new Error('no room')),
    ]) {
      const body = new PassThrough();
      const done = eachChunk(body, fail);
      body.write('one');
      await expect(done).rejects.toThrow('no room');
      expect(body.destroyed).toBe(false);
      // what is left can be read away
      body.end('two');
      body.resume();
      await once(body, 'end');
    }
  });

  it('tells a body that ended before its end', async () => {
    const body = new PassThrough();
    const done = eachChunk(body, () => undefined);
    body.write('one');
    body.destroy();
    await expect(done).rejects.toMatchObject({ code: 'ERR_STREAM_PREMATURE_CLOSE' });
  });

  it('tells a failure of the body', async () => {
    const body = new PassThrough();
    const done = eachChunk(body, () => undefined);
    body.destroy(new Error('the line broke'));
    await expect(done).rejects.toThrow('the line broke');
  });
});
