/** @jest-environment jsdom */

import { fireEvent, screen, waitFor } from '@testing-library/dom';
import { act, render } from '../../../../test/support/rendered.js';
import { Refused } from './api/request.js';
import type { MarkPlace } from './api/sites.js';
import { MarkBox } from './MarkBox.js';

/** An archive that knows some marks; what it was asked is kept. */
class KnownMarks {
  readonly asked: string[] = [];
  readonly #known: readonly string[];

  constructor(...known: readonly string[]) {
    this.#known = known;
  }

  readonly find = (mark: string): Promise<MarkPlace> => {
    this.asked.push(mark);
    return this.#known.includes(mark)
      ? Promise.resolve({
          kind: 'piece',
          fullMark: mark,
          siteId: 's',
          windowId: null,
          panelId: null,
          pieceId: null,
        })
      : Promise.reject(new Refused(404, { title: 'No such mark' }));
  };
}

function type(archive: KnownMarks, mark: string | null, text: string): void {
  render(<MarkBox mark={mark} find={archive.find} />);
  const box = screen.getByLabelText('Go to a mark, or search words');
  void act(() => {
    fireEvent.input(box, { target: { value: text } });
  });
  void act(() => {
    fireEvent.submit(box);
  });
}

describe('MarkBox', () => {
  it('reads a short mark within the site one is in', async () => {
    const archive = new KnownMarks('SLM.wI.2b.17');
    type(archive, 'SLM.sII', 'wI.2b.17');
    await waitFor(() => {
      expect(window.location.pathname).toBe('/at/SLM.wI.2b.17');
    });
    expect(archive.asked).toEqual(['SLM.wI.2b.17']);
  });

  it('goes to another site by its full mark', async () => {
    type(new KnownMarks('ABC.I'), 'SLM.sII', 'ABC.I');
    await waitFor(() => {
      expect(window.location.pathname).toBe('/at/ABC.I');
    });
  });

  it('searches what is no mark', async () => {
    type(new KnownMarks(), 'SLM.sII', 'drapery');
    await waitFor(() => {
      expect(window.location.pathname + window.location.search).toBe('/search?q=drapery');
    });
  });

  it('searches several words without asking for a mark', () => {
    const archive = new KnownMarks();
    type(archive, null, 'cracked face');
    expect(window.location.search).toBe('?q=cracked%20face');
    expect(archive.asked).toEqual([]);
  });
});
