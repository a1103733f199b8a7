/** @jest-environment jsdom */

import { useEffect, useState } from 'react';
import { render } from '../../../../test/support/rendered.js';
import './preact-ways.js';

it('parts of a drawing take their turn on the keyboard', () => {
  const host = render(
    <svg>
      <g role="button" tabIndex={0} className="panel" strokeWidth={2} />
    </svg>,
  );
  const panel = host.querySelector('g')!;
  expect(panel.getAttributeNames().sort()).toEqual(['class', 'role', 'stroke-width', 'tabindex']);
  panel.focus();
  expect(document.activeElement).toBe(panel);
});

it('so does what is no drawing', () => {
  const host = render(<section tabIndex={0} />);
  expect(host.querySelector('section')!.tabIndex).toBe(0);
});

it('who listens is there before the next key', async () => {
  const heard: number[] = [];
  function Listening() {
    const [count, setCount] = useState(0);
    useEffect(() => {
      const hear = () => {
        heard.push(count);
        setCount(count + 1);
      };
      window.addEventListener('keydown', hear);
      return () => {
        window.removeEventListener('keydown', hear);
      };
    }, [count]);
    return null;
  }
  render(<Listening />);
  for (let i = 0; i < 3; i++) {
    window.dispatchEvent(new Event('keydown'));
    // as between two inputs of a browser: all that was promised is done, no frame is drawn
    await new Promise((resolve) => setTimeout(resolve, 0));
  }
  expect(heard).toEqual([0, 1, 2]);
});
