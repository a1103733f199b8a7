/** @jest-environment jsdom */

import { lazy, Suspense } from 'react';
import { act, render } from '../../../../test/support/rendered.js';
import { Caught } from './Caught.js';

it('a part of the program that does not come is told, with a way on', async () => {
  const Room = lazy(() => Promise.reject(new Error('Failed to fetch the room')));
  const host = render(
    <Caught>
      <Suspense fallback={<p>going there…</p>}>
        <Room />
      </Suspense>
    </Caught>,
  );
  await act(async () => {
    await Promise.resolve();
  });
  const told = host.querySelector('[role=alert]')!;
  expect(told.textContent).toContain('Failed to fetch the room');
  expect(told.querySelector('button')!.textContent).toBe('Load the page again');
});

it('a screen that is well is shown as it is', () => {
  const host = render(
    <Caught>
      <p>the wall</p>
    </Caught>,
  );
  expect(host.innerHTML).toBe('<p>the wall</p>');
});
