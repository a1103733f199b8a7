import { type ReactNode, useState } from 'react';
import { say } from './language/say.js';

/**
 * The table: a drawing and the papers that lie beside it. On a phone the papers slide up from the
 * foot of the screen and a strip with words pulls them.
 * @param papers what the strip calls them: 'record of 2b'
 */
export function Table({
  drawing,
  beside,
  papers,
  startOpen = false,
}: {
  drawing: ReactNode;
  beside: ReactNode;
  papers: string;
  startOpen?: boolean;
}) {
  const [open, setOpen] = useState(startOpen);
  return (
    <div className="table">
      <section className="drawing" aria-label={say('Drawing')}>
        {drawing}
      </section>
      <section className="beside" aria-label={papers} data-open={open ? 'yes' : 'no'} tabIndex={0}>
        <button
          type="button"
          className="pull"
          aria-expanded={open}
          onClick={() => {
            setOpen(!open);
          }}
        >
          {open ? say('put {papers} down', { papers }) : say('pull up {papers}', { papers })}
        </button>
        {beside}
      </section>
    </div>
  );
}
