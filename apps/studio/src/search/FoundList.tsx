import { Fragment } from 'react';
import type { Found } from '../platform/api/search.js';
import { Go } from '../platform/Go.js';
import { say } from '../platform/language/say.js';
import { pathOf } from '../platform/place.js';
import { Snippet } from './Snippet.js';

export function FoundList({ items }: { items: readonly Found[] }) {
  return (
    <ul className="lines found" aria-label={say('Found')}>
      {items.map((item) => (
        <li key={`${item.kind} ${item.rowId}`}>
          <span>
            <Go className="word" to={pathOf(item.subject)}>
              {item.title}
            </Go>
            <small className="quiet-line">
              {item.subject}
              {item.snippet ? (
                <>
                  : <Snippet text={item.snippet} />
                </>
              ) : null}
            </small>
          </span>
          <span>
            {(item.happened ?? '').split('/').map((day, index) => (
              <Fragment key={`${index} ${day}`}>
                {index === 0 ? null : (
                  <>
                    /<wbr />
                  </>
                )}
                <span className="day">{day}</span>
              </Fragment>
            ))}
          </span>
        </li>
      ))}
    </ul>
  );
}
