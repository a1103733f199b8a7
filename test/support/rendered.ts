/** Components and hooks in a test's page, with the library that the studio is built with. */

import { act } from 'preact/test-utils';
import type { ReactNode } from 'react';
import { createElement } from 'react';
import { createRoot } from 'react-dom/client';

export { act };

/** Puts a node into the page; what it shows, and its effects, are there when this returns. */
export function render(node: ReactNode): HTMLElement {
  const host = document.body.appendChild(document.createElement('div'));
  const root = createRoot(host);
  void act(() => {
    root.render(node);
  });
  leave.push(() => {
    root.unmount();
    host.remove();
  });
  return host;
}

/** What a hook gave when it was rendered last. */
export function renderHook<T>(use: () => T): { readonly result: { readonly current: T } } {
  const result = {} as { current: T };
  function Asking() {
    result.current = use();
    return null;
  }
  render(createElement(Asking));
  return { result };
}

const leave: (() => void)[] = [];
afterEach(() => {
  for (const act_ of leave.splice(0)) act_();
});
